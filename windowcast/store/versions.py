"""Which version a book has, and whether this program can read it.

Versions are the files in ``migrations/versions``; their numbers only grow.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from sqlalchemy import Connection, inspect

from windowcast.problems import StoreProblem
from windowcast.store.tables import VERSION_TABLE

MIGRATIONS = Path(__file__).parent / "migrations"


@lru_cache(maxsize=8)
def known_versions(migrations: Path = MIGRATIONS) -> tuple[str, ...]:
    """The versions that this program knows, oldest first: ("0001", ...)."""
    return tuple(sorted(path.name[1:5] for path in (migrations / "versions").glob("v[0-9]*.py")))


def version_of(connection: Connection) -> str | None:
    """The version of a book, None where there is none yet, "" where the tables are another's."""
    tables = inspect(connection).get_table_names()
    if VERSION_TABLE not in tables:
        # Other programs may have tables of their own in a PostgreSQL database, not in our file.
        return "" if tables and connection.dialect.name == "sqlite" else None
    found = connection.exec_driver_sql(f"SELECT version_num FROM {VERSION_TABLE}").scalar()
    return str(found or "")


def demand_known(found: str | None, where: str, migrations: Path = MIGRATIONS) -> None:
    """Refuse a database that is no book, and a book that is newer than this program."""
    known = known_versions(migrations)
    if found is None or found in known:
        return
    if found.isdecimal() and found > known[-1]:
        raise StoreProblem(
            f"the book {where} has version {found}, made by a newer windowcast; this one knows"
            f" versions up to {known[-1]}: install the newer windowcast, or restore an older copy"
        )
    raise StoreProblem(
        f"{where} is a database but no book of windowcast; move it away, or name another file"
    )


def free_name(path: Path, ending: str) -> Path:
    """A name beside a file that nothing has yet: ``book.sqlite.ending``, ``...ending-2``."""
    names = (f"{path.name}.{ending}{number}" for number in ["", *(f"-{n}" for n in range(2, 1000))])
    for name in names:
        if not (place := path.with_name(name)).exists():
            return place
    raise StoreProblem(f"there are a thousand copies beside the book {path}; move some away")
