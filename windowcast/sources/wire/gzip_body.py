"""Bytes that may be packed with gzip."""

from __future__ import annotations

import zlib

from windowcast.problems import SourceGarbled

_GZIP = b"\x1f\x8b"


def unpacked(body: bytes, most: int, source: str) -> bytes:
    """The bytes, unpacked where they are gzip; SourceGarbled for damage and for too many."""
    whole, rest = bytearray(), body
    if not body.startswith(_GZIP):
        whole, rest = bytearray(body[: most + 1]), b""
    try:
        while rest:
            member = zlib.decompressobj(16 + zlib.MAX_WBITS)
            whole += member.decompress(rest, most + 1 - len(whole))
            if len(whole) > most:
                break
            if not member.eof:
                raise SourceGarbled(f"{source}: its gzip breaks off in the middle")
            rest = member.unused_data
    except zlib.error:
        raise SourceGarbled(f"{source}: its gzip is damaged") from None
    if len(whole) > most:
        raise SourceGarbled(f"{source}: it is larger than {most >> 20} MB")
    return bytes(whole)
