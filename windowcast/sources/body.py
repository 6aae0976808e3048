"""The body of an answer, read as it comes and never beyond a cap."""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterable, Iterator

import requests
from urllib3.exceptions import HTTPError, ReadTimeoutError

from windowcast.sources.failure import Failure

_CHUNK = 64 * 1024
_GZIP = 16 + zlib.MAX_WBITS
_HTML = re.compile(rb"(?i)(\xef\xbb\xbf)?\s*<(!doctype|html|head|body|!--)")


def read_body(response: requests.Response, cap_bytes: int) -> bytes:
    """The body, decoded; a Failure if it is too large, cut short or coded in a way not asked for.

    Decoded here and not by the transport, which would unfold a small bomb as a whole first.
    """
    coding = response.headers.get("content-encoding", "").strip().lower()
    told = response.headers.get("content-length", "").strip()
    if re.fullmatch("[0-9]{1,18}", told) and int(told) > cap_bytes:
        raise _too_large(cap_bytes)
    chunks = _counted(response, cap_bytes)
    if coding in ("", "identity"):
        return b"".join(chunks)
    if coding in ("gzip", "x-gzip"):
        return _unzipped(chunks, cap_bytes)
    raise Failure(f'a body coded as "{coding[:20]}" where gzip or nothing was asked', garbled=True)


def _counted(response: requests.Response, cap: int) -> Iterator[bytes]:
    """The body in pieces as sent; the transport itself counts it against what the head told."""
    response.raw.enforce_content_length = True  # urllib3 before 2.0 counts only when asked to
    size = 0
    try:
        for chunk in response.raw.stream(_CHUNK, decode_content=False):
            size += len(chunk)
            if size > cap:
                raise _too_large(cap)
            yield chunk
    except ReadTimeoutError:
        raise Failure("the answer stopped in the middle", again=True, silent=True) from None
    except (HTTPError, OSError):
        raise _cut_short() from None


def _unzipped(chunks: Iterable[bytes], cap: int) -> bytes:
    whole = bytearray()
    member, is_open = zlib.decompressobj(_GZIP), False
    try:
        for chunk in chunks:
            rest = chunk
            while rest:
                whole += member.decompress(rest, cap + 1 - len(whole))
                if len(whole) > cap:
                    raise _too_large(cap)
                is_open = not member.eof
                rest = member.unconsumed_tail if is_open else member.unused_data
                if not is_open:
                    member = zlib.decompressobj(_GZIP)
    except zlib.error:
        raise Failure("a body that is not the gzip it claims", again=True, garbled=True) from None
    if is_open:
        raise _cut_short()
    return bytes(whole)


def is_web_page(body: bytes) -> bool:
    """Whether a body is HTML, whatever its head calls it."""
    return _HTML.match(body[:512]) is not None


def _too_large(cap: int) -> Failure:
    return Failure(f"an answer larger than {cap / 2**20:g} MB", garbled=True)


def _cut_short() -> Failure:
    return Failure("the answer was cut short", again=True)
