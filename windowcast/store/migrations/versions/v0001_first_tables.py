"""The first book: runs, weather kept, visits, reports, notices told."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

INSTANT = sa.String(27)


def upgrade() -> None:
    """Make the tables."""
    _make_runs()
    _make_weather()
    _make_visits()
    _make_reports()
    op.create_table(
        "told",
        sa.Column("identity", sa.String, primary_key=True),
        sa.Column("first_told", INSTANT, nullable=False),
        sa.Column("last_told", INSTANT, nullable=False),
        sa.Column("text_hash", sa.String(64), nullable=False),
        sa.Column("created_at", INSTANT, nullable=False),
    )


def _make_runs() -> None:
    op.create_table(
        "runs",
        sa.Column("number", sa.Integer, primary_key=True),
        sa.Column("slot_date", sa.String(10), nullable=False),
        sa.Column("slot_time", sa.String(5), nullable=False),
        sa.Column("kind", sa.String, nullable=False),
        sa.Column("state", sa.String, nullable=False),
        sa.Column("attempt", sa.Integer, nullable=False),
        sa.Column("started_at", INSTANT, nullable=False),
        sa.Column("ended_at", INSTANT),
        sa.Column("lease_until", INSTANT),
        sa.Column("host", sa.String),
        sa.Column("pid", sa.BigInteger),
        sa.Column("remark", sa.String, nullable=False),
        sa.Column("created_at", INSTANT, nullable=False),
        sa.UniqueConstraint("slot_date", "slot_time", "kind", name="runs_once"),
        sqlite_autoincrement=True,
    )


def _make_weather() -> None:
    op.create_table(
        "kept_hours",
        sa.Column("yard_key", sa.String, primary_key=True),
        sa.Column("block", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("packed", sa.LargeBinary, nullable=False),
        sa.Column("changed_at", INSTANT, nullable=False),
        sa.Column("created_at", INSTANT, nullable=False),
    )
    op.create_table(
        "kept_outlooks",
        sa.Column("yard_key", sa.String, primary_key=True),
        sa.Column("issued_at", INSTANT, nullable=False),
        sa.Column("kept_at", INSTANT, nullable=False),
        sa.Column("place", sa.JSON, nullable=False),
        sa.Column("packed", sa.LargeBinary, nullable=False),
        sa.Column("created_at", INSTANT, nullable=False),
    )


def _make_visits() -> None:
    told = ("yard_name", "state", "crew", "person", "product", "registration", "note")
    op.create_table(
        "visits",
        sa.Column("number", sa.Integer, primary_key=True),
        sa.Column("yard_key", sa.String, nullable=False),
        sa.Column("day", sa.String(10), nullable=False),
        sa.Column("round_no", sa.Integer, nullable=False),
        sa.Column("began_at", INSTANT),
        *(sa.Column(name, sa.String, nullable=False) for name in told),
        sa.Column("treated", sa.JSON, nullable=False),
        sa.Column("weather", sa.JSON),
        sa.Column("logged_at", INSTANT, nullable=False),
        sa.Column("undone_at", INSTANT),
        sa.Column("created_at", INSTANT, nullable=False),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_visits_yard_key", "visits", ["yard_key"])
    op.create_index("ix_visits_day", "visits", ["day"])


def _make_reports() -> None:
    op.create_table(
        "reports",
        sa.Column("number", sa.Integer, primary_key=True),
        sa.Column("yard_key", sa.String, nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.Column("kind", sa.String, nullable=False),
        sa.Column("seen", sa.JSON, nullable=False),
        sa.Column("person", sa.String, nullable=False),
        sa.Column("note", sa.String, nullable=False),
        sa.Column("logged_at", INSTANT, nullable=False),
        sa.Column("undone_at", INSTANT),
        sa.Column("created_at", INSTANT, nullable=False),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_reports_yard_key", "reports", ["yard_key"])
    op.create_index("ix_reports_at", "reports", ["at"])
