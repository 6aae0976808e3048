"""Copies of a book that is a file: made while others write, checked, and put back.

A copy is made beside its place and renamed, so that its name never stands for half a book.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from windowcast.problems import StoreProblem
from windowcast.store.engine import BUSY_S, engine_for, reading
from windowcast.store.ownership import give_to_folder, make_like
from windowcast.store.trouble import BUSY, in_plain_words
from windowcast.store.versions import MIGRATIONS, demand_known, free_name, version_of

_BESIDE = ("-journal", "-wal", "-shm")  # files that SQLite keeps beside a book


def backup(book: Path, copy: Path) -> None:
    """Write a whole, checked copy of the book; an older copy under that name is replaced.

    StoreProblem where there is no sound book, or where the name belongs to something else.
    """
    _demand_file(book)
    if copy.parent == book.parent and copy.name in {f"{book.name}{end}" for end in _BESIDE}:
        raise StoreProblem(f"{copy} is a name that belongs to the book itself; name another file")
    if copy.exists() and (os.path.samefile(book, copy) or not _is_book(copy)):
        raise StoreProblem(f"{copy} is no copy of a book, and is not replaced; name another file")
    with in_plain_words(str(copy)), _beside(copy) as part:
        _copy(book, part)
        os.replace(part, copy)
        _sync(copy.parent)


def keep_aside(book: Path, ending: str) -> Path:
    """A whole, checked copy beside the book under a name that nothing has; where it is.

    It is as private as the book. No file is ever replaced, also not one that another process
    makes at this moment.
    """
    _demand_file(book)
    with in_plain_words(str(book)), _beside(book) as part:
        _copy(book, part)
        make_like(part, book)
        copy = _named(part, book, ending)
        _sync(copy.parent)
    return copy


def restore(
    book: Path, copy: Path, *, busy_s: float = BUSY_S, migrations: Path = MIGRATIONS
) -> Path | None:
    """Put a copy in the place of the book, and return where the present book was put aside.

    A copy that is damaged, newer than the program or no book is refused before anything changes.
    What others write between the putting aside and the putting back stands in neither: let
    nothing else run meanwhile. None is returned where there was no book.
    """
    _demand_sound(copy, migrations)
    if not book.exists():
        with in_plain_words(str(book)):
            book.parent.mkdir(parents=True, exist_ok=True)
        _put_new(copy, book)
        return None
    if os.path.samefile(book, copy):
        raise StoreProblem(f"{copy} is the book itself; name a copy of it")
    if _is_book(book):
        aside = keep_aside(book, "before-restore")
        _put(copy, book, busy_s)
    else:  # nobody can be writing to it
        aside = free_name(book, "before-restore")
        with in_plain_words(str(book)):
            os.replace(book, aside)
            for ending in _BESIDE:
                _move_along(book, aside, ending)
        _put_new(copy, book, like=aside)
    return aside


def _put_new(copy: Path, book: Path, like: Path | None = None) -> None:
    """A copy where there is no book, as private as the one before or as a new one."""
    with in_plain_words(str(book)), _beside(book) as part:
        _copy(copy, part)
        give_to_folder(part) if like is None else make_like(part, like)
        os.replace(part, book)
        _sync(book.parent)


def _named(part: Path, book: Path, ending: str) -> Path:
    """Give a finished copy the first free name; who else takes one meanwhile keeps it."""
    while True:
        place = free_name(book, ending)
        try:
            os.link(part, place)
        except FileExistsError:
            continue
        except OSError:  # a disk without hard links
            if not place.exists():
                os.rename(part, place)
                return place
        else:
            return place


def _put(copy: Path, book: Path, busy_s: float) -> None:
    """Overwrite a book in one transaction of its own, so that whoever has it open sees it."""

    def demand_free(status: int, _: int, __: int) -> None:
        if status == sqlite3.SQLITE_BUSY:  # after the wait
            raise StoreProblem(f"the book {book} {BUSY}")

    with (
        in_plain_words(str(book)),
        closing(_open(copy)) as source,
        closing(sqlite3.connect(book, timeout=busy_s)) as target,
    ):
        source.backup(target, progress=demand_free)


def _copy(book: Path, part: Path) -> None:
    with closing(_open(book)) as source, closing(sqlite3.connect(part)) as target:
        source.execute("BEGIN")
        source.execute("SELECT count(*) FROM sqlite_master").fetchone()  # waits for a writer
        source.backup(target)
        if target.execute("PRAGMA integrity_check").fetchone() != ("ok",):
            raise StoreProblem(f"the book {book} is damaged and was not copied; restore a copy")
    with part.open("rb") as file:
        os.fsync(file.fileno())


def _demand_file(book: Path) -> None:
    if not book.is_file():
        raise StoreProblem(f"there is no book {book}; name the file that holds it")


def _demand_sound(copy: Path, migrations: Path) -> None:
    _demand_file(copy)
    if not copy.stat().st_size:
        raise StoreProblem(f"{copy} is empty and no copy of a book; name another file")
    with in_plain_words(str(copy)), closing(_open(copy)) as source:
        if source.execute("PRAGMA integrity_check").fetchone() != ("ok",):
            raise StoreProblem(f"the copy {copy} is damaged; name another one")
    demand_known(_version(copy) or "", str(copy), migrations)


def _is_book(path: Path) -> bool:
    """Whether a file is a whole book of any version."""
    try:
        with in_plain_words(str(path)), closing(_open(path)) as source:
            whole = source.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        return whole and bool(_version(path))
    except StoreProblem:
        return False


def _version(path: Path) -> str | None:
    with reading(engine_for(path)) as connection:
        return version_of(connection)


def _open(path: Path) -> sqlite3.Connection:
    """An existing file, never a new one."""
    address = f"{path.absolute().as_uri()}?mode=rw"
    return sqlite3.connect(address, uri=True, timeout=BUSY_S, isolation_level=None)


@contextmanager
def _beside(place: Path) -> Iterator[Path]:
    """A new file in the same folder, gone afterwards if it was not renamed."""
    handle, name = tempfile.mkstemp(prefix=f".{place.name}.", suffix=".part", dir=place.parent)
    os.close(handle)
    try:
        yield Path(name)
    finally:
        Path(name).unlink(missing_ok=True)


def _move_along(book: Path, aside: Path, ending: str) -> None:
    beside = book.with_name(book.name + ending)
    if beside.exists():
        shutil.move(beside, aside.with_name(aside.name + ending))


def _sync(folder: Path) -> None:
    """The rename itself on the disk, where folders can be synced."""
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
