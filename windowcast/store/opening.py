"""A book is made, carried forward or refused before anybody reads it.

A new book is made, an older one is copied and then carried forward in one transaction, a newer
one is refused.
"""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

from sqlalchemy import Connection, Engine

from windowcast.store.backup import backup
from windowcast.store.engine import reading, spoken, writing
from windowcast.store.trouble import in_plain_words
from windowcast.store.versions import (
    MIGRATIONS,
    demand_known,
    free_name,
    known_versions,
    version_of,
)


def make_ready(engine: Engine, migrations: Path = MIGRATIONS) -> None:
    """See that the book exists and has the version of this program; StoreProblem otherwise."""
    if engine.dialect.name == "sqlite":
        with in_plain_words(spoken(engine)):
            Path(str(engine.url.database)).parent.mkdir(parents=True, exist_ok=True)
            _without_write_ahead_log(engine)
    newest = known_versions(migrations)[-1]
    with reading(engine) as connection:
        found = version_of(connection)
    demand_known(found, spoken(engine), migrations)
    if found == newest:
        return
    if found is not None and engine.dialect.name == "sqlite":
        path = Path(str(engine.url.database))
        backup(path, free_name(path, f"{found}-backup"))
    with writing(engine) as connection:
        if version_of(connection) != newest:  # another process may have been faster
            _carry_forward(connection, migrations)


def _without_write_ahead_log(engine: Engine) -> None:
    with closing(engine.raw_connection()) as connection, closing(connection.cursor()) as cursor:
        if ("wal",) in cursor.execute("PRAGMA journal_mode"):
            cursor.execute("PRAGMA journal_mode = DELETE")


def _carry_forward(connection: Connection, migrations: Path) -> None:
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(migrations).replace("%", "%%"))
    config.attributes["connection"] = connection
    command.upgrade(config, "head")
