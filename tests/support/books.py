"""Books for tests, in a file or in PostgreSQL, and what belongs in one."""

from __future__ import annotations

import os
import sqlite3
import uuid
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from windowcast.store.book import Book, open_book
from windowcast.store.engine import engine_for, writing
from windowcast.store.instants import text_of
from windowcast.store.rows import from_visit
from windowcast.store.versions import MIGRATIONS
from windowcast.terms.delivery import Delivery, Recipient
from windowcast.terms.kept import Claim, Holder, Learned, SlotKey
from windowcast.terms.outlook import Outlook
from windowcast.terms.report import BroodSeen, Report
from windowcast.terms.visit import Treated, Visit

NOW = datetime(2027, 1, 12, 13, 40, tzinfo=UTC)
HOUR = timedelta(hours=1)
SLOT = SlotKey(day=date(2027, 1, 12), at=time(6))
HERE, THERE = Holder(host="shed", pid=41), Holder(host="office", pid=77)


def visit(**changes: Any) -> Visit:
    usual: dict[str, Any] = {
        "yard_key": "kiln",
        "day": date(2027, 1, 11),
        "round_no": 1,
        "logged_at": NOW,
        "treated": (Treated(kind="doubles", colonies=12, acid_g=48.0),),
        "person": "Ines",
    }
    return Visit(**{**usual, **changes})


def report(**changes: Any) -> Report:
    seen = BroodSeen(stage="capped", colonies=3, looked_into=10)
    usual: dict[str, Any] = {"yard_key": "kiln", "at": NOW - HOUR, "seen": seen, "logged_at": NOW}
    return Report(**{**usual, **changes})


def letters(*addresses: str, slot: SlotKey = SLOT, issue: int = 1) -> list[Delivery]:
    """Letters of a slot, by mail."""
    return [
        Delivery(slot=slot, issue=issue, recipient=Recipient(channel="mail", address=address))
        for address in addresses
    ]


def claimed(book: Book, slot: SlotKey = SLOT, lease: timedelta = HOUR / 2) -> Claim:
    """The right to run a slot that nobody has yet."""
    claim = book.claim_slot(slot, HERE, NOW, lease)
    assert claim is not None
    return claim


def learned(*outlooks: Outlook) -> Learned:
    """What a run learned that found these outlooks."""
    return Learned(outlooks=outlooks, fresh=outlooks)


@contextmanager
def postgres_address() -> Iterator[str]:
    """An address in the database that WINDOWCAST_POSTGRES names, with a schema of its own."""
    url = sa.make_url(os.environ["WINDOWCAST_POSTGRES"]).set(drivername="postgresql+psycopg")
    schema = f"book_{uuid.uuid4().hex}"
    engine = sa.create_engine(url)
    with engine.begin() as connection:
        connection.execute(sa.schema.CreateSchema(schema))
    own = url.update_query_dict({"options": f"-csearch_path={schema}"})
    try:
        yield own.render_as_string(hide_password=False)
    finally:
        with engine.begin() as connection:
            connection.execute(sa.schema.DropSchema(schema, cascade=True))
        engine.dispose()


@contextmanager
def fresh_book(kind: str, folder: Path) -> Iterator[Book]:
    """A new book, "sqlite" in a folder or "postgres"."""
    with closing_book(kind, folder) as (book, _):
        yield book


@contextmanager
def closing_book(kind: str, folder: Path) -> Iterator[tuple[Book, Path | str]]:
    """A new book and where it is."""
    with free_place(kind, folder) as place, closing(open_book(place)) as book:
        yield book, place


@contextmanager
def free_place(kind: str, folder: Path) -> Iterator[Path | str]:
    """A place where there is no book yet."""
    if kind == "sqlite":
        yield folder / "state" / "book.sqlite"
    else:
        with postgres_address() as address:
            yield address


def everything(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table of a SQLite file, asked without our own code."""
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        names = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
        return {
            name: sorted(connection.execute(f"SELECT * FROM {name}"), key=repr)
            for (name,) in names.fetchall()
            if name != "sqlite_sequence"
        }


def first_migrations(folder: Path) -> Path:
    """The migrations of the first windowcast, which knew version 0001 alone."""
    return _some_migrations(folder, "v0001*.py")


def add_first_visit(place: Path | str) -> None:
    """A visit as the first windowcast wrote it, which neither counted the yard nor asked."""
    engine = engine_for(place)
    row = from_visit(visit(weather=None)) | {"created_at": text_of(NOW)}
    with writing(engine) as connection:
        visits = sa.Table("visits", sa.MetaData(), autoload_with=connection)
        assert set(row) - set(visits.c.keys()) == {"of_colonies", "whole"}
        known = {name: value for name, value in row.items() if name in visits.c}
        connection.execute(sa.insert(visits).values(**{**known, "weather": sa.null()}))
    engine.dispose()


def later_migrations(folder: Path) -> Path:
    """The migrations of a later windowcast: one more column, and much to write."""
    later = _some_migrations(folder, "v*.py")
    (later / "versions" / "v0003_later.py").write_text(_LATER, "utf-8")
    return later


def _some_migrations(folder: Path, wanted: str) -> Path:
    some = folder / "migrations"
    (some / "versions").mkdir(parents=True)
    for old in (MIGRATIONS / "env.py", *(MIGRATIONS / "versions").glob(wanted)):
        (some / old.relative_to(MIGRATIONS)).write_text(old.read_text("utf-8"), "utf-8")
    return some


_LATER = """
import sqlalchemy as sa
from alembic import op

revision, down_revision = "0003", "0002"


def upgrade():
    with op.batch_alter_table("visits") as table:
        table.add_column(sa.Column("truck", sa.String, nullable=False, server_default="none"))
    for number in range(20):
        op.create_table(f"later_{number}", sa.Column("n", sa.Integer, primary_key=True))
        op.execute(f"INSERT INTO later_{number} VALUES (1)")
"""
