"""Prep days, each with its document."""

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"

SEQUENCE = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "days",
        sa.Column("id", sa.String(10), primary_key=True),
        sa.Column("seq", SEQUENCE, sa.ForeignKey("audit.seq"), nullable=False, unique=True),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("client", sa.Text, nullable=False),
        sa.Column("date", sa.String(10), nullable=False),
        sa.Column("requests", sa.Integer, nullable=False),
        sa.Column("preparations", sa.Integer, nullable=False),
        sa.Column("apart", sa.Integer, nullable=False),
        sa.Column("document", sa.LargeBinary, nullable=False),
    )
    op.create_index("days_by_date", "days", ["date", "seq"])
