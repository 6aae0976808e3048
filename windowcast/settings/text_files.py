"""The text of a file that a person wrote, or one fault that says why it cannot be read."""

from __future__ import annotations

import codecs
import os
import stat
from pathlib import Path

from windowcast.problems import ConfigProblem, Fault

_UTF16 = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
_SAVE_AS = 'save it again as plain text in UTF-8 (a spreadsheet calls it "CSV UTF-8")'


def read_text(path: Path, *, cap_bytes: int, if_missing: str) -> str:
    """The whole file, without a byte order mark and lines ended as on Unix."""
    found = _bytes_of(path, cap_bytes=cap_bytes, if_missing=if_missing)
    return _decoded(found, path.name).replace("\r\n", "\n").replace("\r", "\n")


def is_there(path: Path) -> bool:
    """Whether anything at all stands under this name, a dangling link included."""
    try:
        path.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return False
    except (OSError, ValueError):
        return True
    return True


def is_folder(path: Path) -> bool:
    """Whether a folder stands under this name; False for a name that cannot be."""
    return os.path.isdir(path)  # unlike Path.is_dir it raises for no name


def _bytes_of(path: Path, *, cap_bytes: int, if_missing: str) -> bytes:
    try:
        mode = path.stat().st_mode
        if stat.S_ISDIR(mode):
            raise _problem(path.name, "is a folder", "put a file of this name in its place")
        if not stat.S_ISREG(mode):
            raise _problem(path.name, "is not a plain file", "save it as a file on disk")
        with path.open("rb") as file:
            found = file.read(cap_bytes + 1)
    except FileNotFoundError as error:
        raise _problem(path.name, "is missing", if_missing) from error
    except (OSError, ValueError) as error:
        why = (error.strerror if isinstance(error, OSError) else None) or "a name that cannot be"
        raise _problem(
            path.name, f"cannot be read ({why})", "check its name and who may read it"
        ) from error
    if len(found) > cap_bytes:
        raise _problem(
            path.name, f"is larger than {cap_bytes // 1024} kB", "check that it is the right file"
        )
    return found


def _decoded(found: bytes, file: str) -> str:
    if found.startswith(_WORKBOOKS):
        raise _problem(file, "is a spreadsheet workbook", _SAVE_AS)
    if found.startswith(_UTF16):
        raise _problem(file, "is saved as UTF-16", _SAVE_AS)
    try:
        text = found.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = found.count(b"\n", 0, error.start) + 1
        byte = f"a byte (0x{found[error.start]:02X}) that is not UTF-8"
        raise _problem(file, f"has {byte}", _SAVE_AS, line=line) from error
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise _problem(file, "has a NUL byte, as UTF-16 and damaged files do", _SAVE_AS, line=line)
    return text


def _problem(file: str, found: str, cure: str, *, line: int | None = None) -> ConfigProblem:
    return ConfigProblem([Fault(file=file, line=line, found=found, cure=cure)])
