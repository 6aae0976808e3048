"""``yards.csv`` replaced in one step by a new text, the old file kept beside it."""

from __future__ import annotations

import contextlib
import os
import shutil
from pathlib import Path

from windowcast.settings.yards import CAP_BYTES, FILE

BEFORE = f"{FILE}.before"


class ChangedMeanwhileError(OSError):
    """Somebody else wrote ``yards.csv`` after it was read."""


def bytes_of(folder: Path) -> bytes | None:
    """The file as it is, None where there is none that can be read."""
    path = folder / FILE
    try:
        if not path.is_file():
            return None
        with path.open("rb") as file:
            return file.read(CAP_BYTES + 1)
    except OSError:
        return None


def replace_yards(folder: Path, text: str, *, instead_of: bytes | None) -> None:
    """Put a text in the place of ``yards.csv``; at every instant the old or the new file is whole.

    OSError leaves the old file where it was. A link stays a link.
    """
    target = Path(os.path.realpath(folder / FILE))
    draft, copy = (target.with_name(f".{FILE}.{end}") for end in ("new", "old"))
    try:
        _write_through(draft, text.encode())
        if instead_of is not None:
            _write_through(copy, instead_of)
            shutil.copymode(target, draft)
            shutil.copymode(target, copy)
        if bytes_of(folder) != instead_of:
            raise ChangedMeanwhileError(f"{FILE} was changed by somebody else meanwhile")
        if instead_of is not None:
            copy.replace(target.with_name(BEFORE))
        draft.replace(target)
        _flush_folder(target.parent)
    finally:
        for left in (draft, copy):
            with contextlib.suppress(OSError):
                left.unlink(missing_ok=True)


def _write_through(path: Path, content: bytes) -> None:
    with path.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _flush_folder(folder: Path) -> None:
    """Make the new names last through a loss of power, where the system lets a folder be opened."""
    with contextlib.suppress(OSError):
        opened = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(opened)
        finally:
            os.close(opened)
