"""How one try can fail: what to say about it, and whether to try again."""

from __future__ import annotations

import json
import re
import socket
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime
from http import HTTPStatus

from requests import exceptions as http

from windowcast.sources.service import shown

RETRIED = frozenset({429, 500, 502, 503, 504, *range(520, 527)})
_LONG_LIMIT = re.compile(r"(?i)\b(hourly|daily|monthly)\b")
_CAUSES_DEEP = 8
_QUOTED = 160


class Failure(Exception):
    """One try failed.

    ``why`` is the clause that sentences quote. ``again``: another try may help. ``silent``: the
    service gave no sign of life. ``garbled``: it answered, with something unusable. ``shuts``: it
    wants no further requests just now. ``wait_s`` is how long it asked to be left alone.
    """

    def __init__(
        self,
        why: str,
        *,
        again: bool = False,
        silent: bool = False,
        garbled: bool = False,
        shuts: bool = False,
    ) -> None:
        super().__init__(why)
        self.why = why
        self.again = again
        self.silent = silent
        self.garbled = garbled
        self.shuts = shuts
        self.status: int | None = None
        self.wait_s: float | None = None


class Misread(Failure):
    """The parser refused the body; ``why`` is its whole sentence."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence, again=True, garbled=True)


def refused(status: int, reason: str, wait_s: float | None, longest_wait_s: float) -> Failure:
    """The failure behind a status that is neither 200 nor a redirect.

    ``reason`` is what the body told, "" for nothing; ``wait_s`` what Retry-After told.
    """
    why = f"status {status}{_meaning(status)}"
    if reason:
        why += f': "{shown(reason, _QUOTED)}"'
    too_long = wait_s is not None and wait_s > longest_wait_s
    if too_long and status in RETRIED:
        why += f", it asks to wait {_spelled(wait_s or 0.0)}"
    if status == HTTPStatus.FORBIDDEN:
        why += "; services refuse requests without a contact: see contact in outfit.toml"
    hopeless = too_long or _hopeless(status, reason)
    failure = Failure(
        why,
        again=status in RETRIED and not hopeless,
        shuts=status in (HTTPStatus.FORBIDDEN, HTTPStatus.TOO_MANY_REQUESTS),
    )
    failure.status, failure.wait_s = status, wait_s
    return failure


def _hopeless(status: int, reason: str) -> bool:
    """Whether waiting a little cannot help: a long limit, or an office whose feed is out."""
    if status == HTTPStatus.TOO_MANY_REQUESTS:
        return _LONG_LIMIT.search(reason) is not None
    spaceless = reason.replace(" ", "")
    return status == HTTPStatus.SERVICE_UNAVAILABLE and "ForecastGridExpired" in spaceless


def _meaning(status: int) -> str:
    try:
        return f", {HTTPStatus(status).phrase.lower()}"
    except ValueError:
        return ""


def reason_told(body: bytes) -> str:
    """What a JSON error body says, "" where it says nothing or is something else such as HTML."""
    try:
        told = json.loads(body)
    except (ValueError, RecursionError):
        return ""
    if not isinstance(told, dict):
        return ""
    kind = str(told.get("type", "")).rpartition("/")[2]
    words = [told.get(name) for name in ("title", "detail", "reason")]
    parts = [word for word in words if isinstance(word, str) and word.strip()]
    if kind == "ForecastGridExpired" and kind not in "".join(parts).replace(" ", ""):
        parts.insert(0, kind)
    return ": ".join(dict.fromkeys(parts))


def retry_after_s(headers: Mapping[str, str], now: datetime) -> float | None:
    """Seconds that Retry-After asks for, None without a usable one.

    A date is compared with the answer's own Date, so that a wrong clock on either side, or a run
    for another day, does no harm; with ``now`` only where the answer has no Date.
    """
    text = headers.get("retry-after", "").strip()
    if re.fullmatch(r"[0-9]+", text):
        return float(text)
    at = _http_date(text)
    if at is None:
        return None
    return max((at - (_http_date(headers.get("date", "")) or now)).total_seconds(), 0.0)


def _http_date(text: str) -> datetime | None:
    try:
        at = parsedate_to_datetime(text)
    except (ValueError, OverflowError):
        return None
    return at.replace(tzinfo=UTC) if at.tzinfo is None else at


def _spelled(seconds: float) -> str:
    if seconds < 120:
        return f"{seconds:.0f} s"
    return f"{seconds / 60:.0f} min" if seconds < 86_400 else "more than a day"


def broken(problem: Exception, connect_s: float, read_s: float) -> Failure:
    """The failure behind an exception of the transport before the body began."""
    causes = list(_causes(problem))
    if isinstance(problem, (http.InvalidURL, http.InvalidSchema, http.MissingSchema)):
        return Failure("its address cannot be used; see base_url in outfit.toml")
    if any("CERTIFICATE_VERIFY_FAILED" in str(cause) for cause in causes):
        return Failure("its certificate is not valid", silent=True)
    return Failure(_broken_how(problem, causes, connect_s, read_s), again=True, silent=True)


def _broken_how(
    problem: Exception, causes: list[BaseException], connect_s: float, read_s: float
) -> str:
    said = {
        http.ConnectTimeout: f"no connection within {connect_s:.3g} s",
        http.ReadTimeout: f"timed out after {read_s:.3g} s without a byte",
        socket.gaierror: "its name was not found",
        ConnectionRefusedError: "the connection was refused",
        http.ProxyError: "the proxy gave no connection",
        http.SSLError: "no secure connection came about",
    }
    for kind, words in said.items():
        if any(isinstance(cause, kind) for cause in causes):
            return words
    return "the connection broke off"


def _causes(problem: BaseException) -> Iterator[BaseException]:
    """An exception and what lies behind it."""
    cause: BaseException | None = problem
    for _ in range(_CAUSES_DEEP):
        if cause is None:
            return
        yield cause
        cause = cause.__cause__ or cause.__context__
