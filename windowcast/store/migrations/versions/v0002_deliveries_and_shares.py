"""Who gets the letter of a slot, and who has it; how many colonies a visit was of."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add what an older windowcast neither did nor asked."""
    _make_deliveries()
    op.add_column("visits", sa.Column("of_colonies", sa.Integer))
    op.add_column(
        "visits", sa.Column("whole", sa.Boolean, nullable=False, server_default=sa.false())
    )


def _make_deliveries() -> None:
    op.create_table(
        "deliveries",
        sa.Column("number", sa.Integer, primary_key=True),
        sa.Column("slot_date", sa.String(10), nullable=False),
        sa.Column("slot_time", sa.String(5), nullable=False),
        sa.Column("kind", sa.String, nullable=False),
        sa.Column("issue", sa.Integer, nullable=False),
        *(sa.Column(name, sa.String, nullable=False) for name in ("channel", "address", "state")),
        sa.Column("tries", sa.Integer, nullable=False),
        sa.Column("remark", sa.String, nullable=False),
        sa.Column("tried_at", sa.String(27)),
        sa.Column("sent_at", sa.String(27)),
        sa.Column("created_at", sa.String(27), nullable=False),
        sa.UniqueConstraint(
            "slot_date", "slot_time", "kind", "issue", "channel", "address", name="deliveries_once"
        ),
        sqlite_autoincrement=True,
    )
