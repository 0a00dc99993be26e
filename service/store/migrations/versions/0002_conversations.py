"""Conversations: one row for each message, with the state after it."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

SEQUENCE = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make the table of messages."""
    op.create_table(
        "conversations",
        sa.Column("seq", SEQUENCE, sa.ForeignKey("audit.seq"), primary_key=True, autoincrement=False),
        sa.Column("id", sa.String(10), nullable=False),
        sa.Column("n", sa.Integer, nullable=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("plan_id", sa.String(10), nullable=True),
        sa.Column("taken_for", sa.String(16), nullable=True),
        sa.Column("state", sa.LargeBinary, nullable=False),
    )
    op.create_index("conversations_by_id", "conversations", ["id", "seq"])
