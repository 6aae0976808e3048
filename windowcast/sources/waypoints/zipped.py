"""Packed files: which format is inside, and the KML of a KMZ, never more than a cap of it."""

from __future__ import annotations

import io
import zipfile
import zlib

from windowcast.sources.waypoints.words import problem

CAP_BYTES = 32 * 1024 * 1024  # unpacked, all of it
_MOST_PARTS = 5_000
BROKEN = (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, RuntimeError, KeyError)
_AGAIN = "save it again, or check that it is the right file"


def packed_names(body: bytes, file: str) -> tuple[str, ...]:
    """The names inside a packed file; ConfigProblem for a broken one or one that would burst."""
    try:
        with zipfile.ZipFile(io.BytesIO(body)) as packed:
            parts = packed.infolist()
    except BROKEN as error:
        raise problem(file, "is a packed file (zip) that is not whole", _AGAIN) from error
    if len(parts) > _MOST_PARTS or sum(part.file_size for part in parts) > CAP_BYTES:
        found = f"would unpack to more than {CAP_BYTES // 2**20} MB or {_MOST_PARTS} files"
        raise problem(file, found, "check that it is the right file")
    return tuple(part.filename for part in parts)


def main_kml(body: bytes, names: tuple[str, ...], file: str) -> bytes:
    """The main KML of a KMZ: ``doc.kml``, else the first at the top, else the first."""
    inside = [name for name in names if name.lower().endswith(".kml")]
    first = min(inside, key=lambda name: (name.lower() != "doc.kml", "/" in name))
    try:
        with zipfile.ZipFile(io.BytesIO(body)) as packed, packed.open(first) as part:
            found = part.read(CAP_BYTES + 1)
    except BROKEN as error:
        raise problem(file, "is a KMZ that cannot be unpacked", _AGAIN) from error
    if len(found) > CAP_BYTES:
        raise problem(file, f"would unpack to more than {CAP_BYTES // 2**20} MB", _AGAIN)
    return found
