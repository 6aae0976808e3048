"""Whose file a book is: it holds addresses of people, so its owner reads it and nobody else.

A book that is there keeps the mode and the owner that somebody gave it, and its copies beside it
get the same. One that root makes belongs to whoever owns the folder, as a service that is not
root writes it next.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path

PRIVATE = 0o600


def begin(book: Path) -> None:
    """An empty file in the place of a book that is to be made; one that is there stays."""
    try:
        handle = os.open(book, os.O_RDWR | os.O_CREAT | os.O_EXCL, PRIVATE)
    except FileExistsError:
        return
    os.close(handle)
    give_to_folder(book)


def give_to_folder(book: Path) -> None:
    """A new file belongs to the owner of its folder; only root can give it away."""
    _give(book, book.parent.stat())


def make_like(copy: Path, book: Path) -> None:
    """A copy gets the mode and, from root, the owner of a book."""
    told = book.stat()
    copy.chmod(stat.S_IMODE(told.st_mode))
    _give(copy, told)


def _give(path: Path, told: os.stat_result) -> None:
    if os.name == "posix" and os.geteuid() == 0:
        os.chown(path, told.st_uid, told.st_gid)
