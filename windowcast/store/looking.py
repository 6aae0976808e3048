"""Open a book for whoever only reads it: nothing is made, copied or carried forward."""

from __future__ import annotations

from pathlib import Path

from windowcast.problems import StoreProblem
from windowcast.store.book import Book
from windowcast.store.engine import BUSY_S, engine_for, reading, spoken
from windowcast.store.versions import MIGRATIONS, demand_known, known_versions, version_of


def book_to_read(
    book: Path | str, *, busy_s: float = BUSY_S, migrations: Path = MIGRATIONS
) -> Book | None:
    """The book in a file (a Path) or in PostgreSQL (an address), None where there is none yet.

    StoreProblem where it is newer or older than the program, is no book, or cannot be reached.
    """
    if isinstance(book, Path) and not book.exists():
        return None
    engine = engine_for(book, busy_s=busy_s)
    try:
        with reading(engine) as connection:
            found = version_of(connection)
        demand_known(found, spoken(engine), migrations)
        if found is None:
            engine.dispose()
            return None
        _demand_present(found, spoken(engine), migrations)
    except BaseException:
        engine.dispose()
        raise
    return Book(engine)


def _demand_present(found: str, where: str, migrations: Path) -> None:
    newest = known_versions(migrations)[-1]
    if found != newest:
        raise StoreProblem(
            f"the book {where} has version {found}, made by an older windowcast; this one reads"
            f" version {newest}: run `windowcast visits` once, which copies it and carries it"
            " forward"
        )
