"""A book is made, carried forward or refused before anybody reads it.

A new book is made, an older one is copied and then carried forward in one transaction, a newer
one is refused.
"""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

from sqlalchemy import Connection, Engine

from windowcast.store.backup import keep_aside
from windowcast.store.engine import reading, spoken, writing
from windowcast.store.ownership import begin
from windowcast.store.trouble import in_plain_words
from windowcast.store.versions import (
    MIGRATIONS,
    demand_known,
    known_versions,
    version_of,
)


def make_ready(engine: Engine, migrations: Path = MIGRATIONS) -> None:
    """See that the book exists and has the version of this program; StoreProblem otherwise."""
    if engine.dialect.name == "sqlite":
        with in_plain_words(spoken(engine)):
            place = Path(str(engine.url.database))
            place.parent.mkdir(parents=True, exist_ok=True)
            begin(place)
            _without_write_ahead_log(engine)
    newest = known_versions(migrations)[-1]
    with reading(engine) as connection:
        found = version_of(connection)
    demand_known(found, spoken(engine), migrations)
    if found == newest:
        return
    with writing(engine) as connection:  # from here on nobody else writes
        found = version_of(connection)
        if found == newest:  # another process was faster
            return
        demand_known(found, spoken(engine), migrations)
        if found is not None and engine.dialect.name == "sqlite":
            keep_aside(Path(str(engine.url.database)), f"{found}-backup")
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
