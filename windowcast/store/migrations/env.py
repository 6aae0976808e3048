"""What Alembic reads before it migrates: our tables, on the connection that is handed in."""

from __future__ import annotations

from alembic import context

from windowcast.store.tables import VERSION_TABLE, metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    version_table=VERSION_TABLE,
    render_as_batch=True,  # SQLite changes a column by building the table anew
)
context.run_migrations()  # inside the transaction of the caller, all or nothing
