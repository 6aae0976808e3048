"""The tables of the book, the same in a SQLite file and in PostgreSQL.

Instants are ISO 8601 text in UTC of one width (``instants``), so that people can read them and
text order is time order. Local days and clock times are ISO text. Every row says when it was
made. A table or column that is added here needs a migration beside it; a test compares the two.
"""

from __future__ import annotations

from sqlalchemy import (
    JSON,
    BigInteger,
    Boolean,
    Column,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    UniqueConstraint,
    false,
)

VERSION_TABLE = "book_version"

INSTANT = String(27)  # 2027-01-12T14:30:00.000000Z
DAY = String(10)  # 2027-01-12
CLOCK = String(5)  # 06:00

metadata = MetaData()

runs = Table(
    "runs",
    metadata,
    Column("number", Integer, primary_key=True),
    Column("slot_date", DAY, nullable=False),
    Column("slot_time", CLOCK, nullable=False),
    Column("kind", String, nullable=False),
    Column("state", String, nullable=False),
    Column("attempt", Integer, nullable=False),
    Column("started_at", INSTANT, nullable=False),
    Column("ended_at", INSTANT),
    Column("lease_until", INSTANT),
    Column("host", String),
    Column("pid", BigInteger),
    Column("remark", String, nullable=False),
    Column("created_at", INSTANT, nullable=False),
    UniqueConstraint("slot_date", "slot_time", "kind", name="runs_once"),
    sqlite_autoincrement=True,
)

# One row for a yard and seven UTC days (``blocks``): 168 hours, packed.
kept_hours = Table(
    "kept_hours",
    metadata,
    Column("yard_key", String, primary_key=True),
    Column("block", Integer, primary_key=True, autoincrement=False),
    Column("packed", LargeBinary, nullable=False),
    Column("changed_at", INSTANT, nullable=False),
    Column("created_at", INSTANT, nullable=False),
)

kept_outlooks = Table(
    "kept_outlooks",
    metadata,
    Column("yard_key", String, primary_key=True),
    Column("issued_at", INSTANT, nullable=False),
    Column("kept_at", INSTANT, nullable=False),
    Column("place", JSON, nullable=False),
    Column("packed", LargeBinary, nullable=False),
    Column("created_at", INSTANT, nullable=False),
)

visits = Table(
    "visits",
    metadata,
    Column("number", Integer, primary_key=True),
    Column("yard_key", String, nullable=False, index=True),
    Column("day", DAY, nullable=False, index=True),
    Column("round_no", Integer, nullable=False),
    Column("began_at", INSTANT),
    Column("yard_name", String, nullable=False),
    Column("state", String, nullable=False),
    Column("treated", JSON, nullable=False),
    Column("of_colonies", Integer),
    Column("whole", Boolean, nullable=False, server_default=false()),
    Column("crew", String, nullable=False),
    Column("person", String, nullable=False),
    Column("product", String, nullable=False),
    Column("registration", String, nullable=False),
    Column("note", String, nullable=False),
    Column("weather", JSON(none_as_null=True)),
    Column("logged_at", INSTANT, nullable=False),
    Column("undone_at", INSTANT),
    Column("created_at", INSTANT, nullable=False),
    sqlite_autoincrement=True,
)

reports = Table(
    "reports",
    metadata,
    Column("number", Integer, primary_key=True),
    Column("yard_key", String, nullable=False, index=True),
    Column("at", INSTANT, nullable=False, index=True),
    Column("kind", String, nullable=False),
    Column("seen", JSON, nullable=False),
    Column("person", String, nullable=False),
    Column("note", String, nullable=False),
    Column("logged_at", INSTANT, nullable=False),
    Column("undone_at", INSTANT),
    Column("created_at", INSTANT, nullable=False),
    sqlite_autoincrement=True,
)

# One row for a recipient and a slot, and another for each time that a person sends it again.
deliveries = Table(
    "deliveries",
    metadata,
    Column("number", Integer, primary_key=True),
    Column("slot_date", DAY, nullable=False),
    Column("slot_time", CLOCK, nullable=False),
    Column("kind", String, nullable=False),
    Column("issue", Integer, nullable=False),
    Column("channel", String, nullable=False),
    Column("address", String, nullable=False),
    Column("state", String, nullable=False),
    Column("tries", Integer, nullable=False),
    Column("remark", String, nullable=False),
    Column("tried_at", INSTANT),
    Column("sent_at", INSTANT),
    Column("created_at", INSTANT, nullable=False),
    UniqueConstraint(
        "slot_date", "slot_time", "kind", "issue", "channel", "address", name="deliveries_once"
    ),
    sqlite_autoincrement=True,
)

told = Table(
    "told",
    metadata,
    Column("identity", String, primary_key=True),
    Column("first_told", INSTANT, nullable=False),
    Column("last_told", INSTANT, nullable=False),
    Column("text_hash", String(64), nullable=False),
    Column("created_at", INSTANT, nullable=False),
)
