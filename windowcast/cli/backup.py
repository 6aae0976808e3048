"""``windowcast backup`` and ``restore``: copies of a book that is a file."""

from __future__ import annotations

import os
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

from windowcast.cli.app import WRONG_USE, ConfigDir, app, say
from windowcast.cli.ledger import Yes, agreed
from windowcast.cli.now import At, clock_from

if TYPE_CHECKING:
    from datetime import datetime

    from windowcast.settings.outfit import Outfit

CopyTo = Annotated[
    str,
    typer.Argument(metavar="FILE", help="Where the copy goes; an older copy there is replaced."),
]
CopyFrom = Annotated[
    str, typer.Argument(metavar="FILE", help="A copy that `windowcast backup` made.")
]


@app.command(epilog="Example: windowcast backup monday.sqlite --config bees")
def backup(file: CopyTo, config: ConfigDir = ".") -> None:
    """Copy the book: visits, reports, kept weather, what was told. It may be in use meanwhile."""
    from windowcast.store import backup as copies

    book, copy = _file(_outfit(config)), Path(file)
    if not _is_there(book):
        _refuse(
            f"there is no book {book} yet, and nothing to copy; `windowcast run`, `visit` and"
            " `seen` begin one"
        )
    _refuse_what_is_no_copy(book, copy)
    if not copy.parent.is_dir():
        _refuse(f"there is no folder {copy.parent}; make it, or name another place")
    copies.backup(book, copy)
    say(f"the book {book} is copied to {copy}")


@app.command(epilog="Example: windowcast restore monday.sqlite --config bees")
def restore(file: CopyFrom, config: ConfigDir = ".", at: At = None, yes: Yes = False) -> None:
    """Put a copy in the place of the book; stop `windowcast serve` and timers before.

    The present book is put aside and never deleted. A copy of an older version is carried forward
    by the next command that opens it. The newest morning of run_at counts as told, as the copy
    cannot know who got it.
    """
    from windowcast.store import backup as copies

    outfit, now = _outfit(config), clock_from(at)()
    book, copy = _file(outfit), Path(file)
    if not _is_there(copy):
        _refuse(f"there is no file {copy}; name a copy that `windowcast backup` made")
    _refuse_what_is_no_copy(book, copy)
    if not agreed(f"Put {copy} in the place of {book}?", yes=yes):
        return
    aside = copies.restore(book, copy)
    say(f"the book {book} is now as in {copy}")
    say(f"the one before is kept as {aside}" if aside else "there was none before")
    _count_as_told(outfit, book, now)


def _count_as_told(outfit: Outfit, book: Path, now: datetime) -> None:
    """Nobody gets a morning twice because the book that knew of it was replaced."""
    if not (outfit.run_at and outfit.tz):
        return
    from windowcast.daily.choice import count_as_told
    from windowcast.store.book import open_book
    from windowcast.times import local_date
    from windowcast.wording.delivery import counted_as_told

    with closing(open_book(book)) as opened:
        slot = count_as_told(opened, outfit.run_at, outfit.tz, now)
    if slot is not None:
        say(counted_as_told(slot, is_of_today=slot.day == local_date(now, outfit.tz)))


def _outfit(config: str) -> Outfit:
    """What outfit.toml says; the yards may be faulty meanwhile."""
    from windowcast.settings.outfit import read_outfit

    return read_outfit(Path(config))


def _file(outfit: Outfit) -> Path:
    """The file of the book; wrong use where it is none."""
    from windowcast.settings.routine import spoken_book

    book = outfit.book
    if not isinstance(book, Path):
        _refuse(
            f"the book {spoken_book(book)} is in PostgreSQL; copy it with pg_dump and put it back"
            " with pg_restore, which come with that server"
        )
    return book


def _is_there(path: Path) -> bool:
    """Whether a name is taken; StoreProblem where nobody can tell."""
    from windowcast.store.trouble import in_plain_words

    with in_plain_words(str(path)):
        return path.exists()


def _refuse_what_is_no_copy(book: Path, copy: Path) -> None:
    if not _is_there(copy):
        return
    if not copy.is_file():
        _refuse(f"{copy} is no plain file; name a file")
    if _is_there(book) and os.path.samefile(book, copy):
        _refuse(f"{copy} is the book itself; name another file")


def _refuse(sentence: str) -> NoReturn:
    say(sentence)
    raise typer.Exit(WRONG_USE)
