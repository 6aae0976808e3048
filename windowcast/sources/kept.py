"""One answer as it is kept: what it may be asked for again with, and as the bytes of a file."""

from __future__ import annotations

import gzip
import hashlib
import json
import re
import zlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

LONGEST_MAX_AGE_H = 6.0
LARGEST_BYTES = 64 * 2**20
_GZIP = 16 + zlib.MAX_WBITS


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """One answer: its body, what it may be asked for again with, and when it was last confirmed.

    ``etag`` and ``last_modified`` are echoed as they came and never read as times.
    """

    body: bytes
    url: str
    fetched_at: datetime
    etag: str | None = None
    last_modified: str | None = None
    max_age_s: float | None = None

    def is_fresh(self, now: datetime, keep_h: float) -> bool:
        """Whether it may be used without asking.

        ``keep_h`` above 0 replaces what the service said. A copy from the future of ``now`` was
        made under another clock and is never fresh.
        """
        most_s = (
            keep_h * 3600 if keep_h > 0 else min(self.max_age_s or 0.0, LONGEST_MAX_AGE_H * 3600)
        )
        return timedelta(0) <= now - self.fetched_at < timedelta(seconds=most_s)

    @property
    def conditions(self) -> dict[str, str]:
        """The headers that ask whether this copy still holds."""
        told = {"If-None-Match": self.etag, "If-Modified-Since": self.last_modified}
        return {name: text for name, text in told.items() if text is not None}

    def confirmed(self, headers: Mapping[str, str], now: datetime) -> Kept:
        """The same body after the service said at ``now``, with these headers, that it holds."""
        told = kept_of(self.body, self.url, headers, now)
        return replace(
            told,
            etag=told.etag or self.etag,
            last_modified=told.last_modified or self.last_modified,
        )


def kept_of(body: bytes, url: str, headers: Mapping[str, str], now: datetime) -> Kept:
    """An answer that came at ``now`` with these headers."""
    return Kept(
        body=body,
        url=url,
        fetched_at=now,
        etag=headers.get("etag"),
        last_modified=headers.get("last-modified"),
        max_age_s=_max_age_s(headers),
    )


def may_be_kept(headers: Mapping[str, str]) -> bool:
    """Whether the service lets its answer be stored."""
    return "no-store" not in headers.get("cache-control", "").lower()


def _max_age_s(headers: Mapping[str, str]) -> float | None:
    """How long a copy is fresh, less the time it has already spent in a cache on the way."""
    control = headers.get("cache-control", "").lower()
    told = re.search(r"(?<![\w-])max-age\s*=\s*\"?([0-9]{1,9})", control)
    if told is None or "no-cache" in control:
        return None
    age = re.fullmatch("[0-9]{1,9}", headers.get("age", "").strip())
    return max(float(told[1]) - (float(age[0]) if age else 0.0), 0.0)


def packed(kept: Kept) -> bytes:
    """The bytes of a file: a line of JSON about the answer, then its body as gzip."""
    about = {
        "url": kept.url,
        "fetched_at": kept.fetched_at.isoformat(),
        "etag": kept.etag,
        "last_modified": kept.last_modified,
        "max_age_s": kept.max_age_s,
        "size": len(kept.body),
        "sha256": hashlib.sha256(kept.body).hexdigest(),
    }
    return json.dumps(about).encode() + b"\n" + gzip.compress(kept.body, 6, mtime=0)


def unpacked(raw: bytes) -> Kept | None:
    """The answer in the bytes of a file, None where anything about it is not as written."""
    head, _, tail = raw.partition(b"\n")
    try:
        about = json.loads(head)
        size = int(about["size"])
        body = zlib.decompressobj(_GZIP).decompress(tail, min(max(size, 0), LARGEST_BYTES) + 1)
        if len(body) != size or hashlib.sha256(body).hexdigest() != about["sha256"]:
            return None
        return _kept(about, body)
    except (ValueError, TypeError, KeyError, RecursionError, OverflowError, zlib.error):
        return None


def _kept(about: dict[str, Any], body: bytes) -> Kept | None:
    fetched_at = datetime.fromisoformat(about["fetched_at"])
    if fetched_at.tzinfo is None:
        return None
    max_age_s = None if about["max_age_s"] is None else float(about["max_age_s"])
    if max_age_s is not None and not max_age_s >= 0:
        return None
    return Kept(
        body=body,
        url=str(about["url"]),
        fetched_at=fetched_at,
        etag=_validator(about["etag"]),
        last_modified=_validator(about["last_modified"]),
        max_age_s=max_age_s,
    )


def _validator(text: object) -> str | None:
    """A condition fit for a header, None for what is none."""
    if not isinstance(text, str) or text != text.strip() or not text:
        return None
    return text if text.isascii() and text.isprintable() else None
