"""Connections to the book, SQLite or PostgreSQL, and the two kinds of transactions.

Writers come one at a time: ``BEGIN IMMEDIATE`` in SQLite, an advisory lock in PostgreSQL. So a
transaction may read, decide and write without another one in between. SQLite keeps a rollback
journal and syncs fully: a morning writes once, and write-ahead logs of older libraries can be
damaged.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import ArgumentError
from sqlalchemy.pool import NullPool

from windowcast.problems import StoreProblem
from windowcast.store.trouble import in_plain_words

BUSY_S = 10.0
STATEMENT_S = 60.0  # nothing that the program asks of a server takes that long

_POSTGRES_NAMES = {"postgres", "postgresql", "postgresql+psycopg"}
_ONE_WRITER = 0x776E6463  # any number will do, as long as every windowcast takes the same


def engine_for(book: Path | str, *, busy_s: float = BUSY_S) -> Engine:
    """Connections to a SQLite file (a Path), or to PostgreSQL (an address as text)."""
    if isinstance(book, Path):
        return _sqlite(book, busy_s)
    return _postgres(_address(book), busy_s)


def spoken(engine: Engine) -> str:
    """The book as messages name it: its path, or its address without the password."""
    if engine.dialect.name == "sqlite":
        return str(engine.url.database)
    written = engine.url.set(drivername="postgresql", query={})
    return written.render_as_string(hide_password=True)


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """One transaction that writes; another writer waits until it is over."""
    with in_plain_words(spoken(engine)), engine.begin() as connection:
        yield connection


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """One transaction that only reads, on one state of the book."""
    with (
        in_plain_words(spoken(engine)),
        engine.connect().execution_options(only_reads=True) as connection,
        connection.begin(),
    ):
        yield connection


def _sqlite(path: Path, busy_s: float) -> Engine:
    # Nothing is pooled: no open file is left behind when the book is moved or restored.
    url = URL.create("sqlite", database=str(path.absolute()))
    engine = create_engine(url, poolclass=NullPool, connect_args={"timeout": busy_s})

    @event.listens_for(engine, "connect")
    def settle(connection: Any, _: object) -> None:
        connection.isolation_level = None  # the driver begins nothing by itself
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA synchronous = FULL")

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        only_reads = connection.get_execution_options().get("only_reads")
        connection.exec_driver_sql("BEGIN" if only_reads else "BEGIN IMMEDIATE")

    return engine


def _address(text: str) -> URL:
    try:
        url = make_url(text)
    except ArgumentError as error:
        raise StoreProblem(
            "the address of the book is no address; write one such as"
            " postgresql://name@host/windowcast, or leave it out for a file"
        ) from error
    if url.drivername not in _POSTGRES_NAMES:
        raise StoreProblem(
            f"the address of the book begins with {url.drivername}://, which is no place for it;"
            " write postgresql://name@host/windowcast, or leave it out for a file"
        )
    return url.set(drivername="postgresql+psycopg")


def patience_of(url: URL, busy_s: float) -> dict[str, int]:
    """How long a server may be silent; what the address itself says goes first."""
    ours = {
        "connect_timeout": max(2, int(busy_s)),
        "keepalives": 1,
        "keepalives_idle": 10,
        "keepalives_interval": 5,
        "keepalives_count": 3,
        "tcp_user_timeout": 20_000,  # milliseconds
    }
    return {name: value for name, value in ours.items() if name not in url.query}


def _postgres(url: URL, busy_s: float) -> Engine:
    longest_ms = int(1000 * max(STATEMENT_S, busy_s + 1.0))
    try:
        engine = create_engine(url, pool_pre_ping=True, connect_args=patience_of(url, busy_s))
    except ModuleNotFoundError as error:
        raise StoreProblem(
            "a book in PostgreSQL needs its driver; install it with:"
            ' pip install "windowcast[postgres]"'
        ) from error

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        if connection.get_execution_options().get("only_reads"):
            connection.exec_driver_sql("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
            connection.exec_driver_sql(f"SET LOCAL statement_timeout = {longest_ms}")
            return
        connection.exec_driver_sql(f"SET LOCAL statement_timeout = {longest_ms}")
        connection.exec_driver_sql(f"SET LOCAL lock_timeout = {int(busy_s * 1000)}")
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({_ONE_WRITER})")

    return engine
