"""Preparations, what went into them, and standardisations: rows that are only added."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"

SEQUENCE = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make the three tables of the bench record."""
    op.create_table(
        "preparations",
        sa.Column("seq", SEQUENCE, sa.ForeignKey("audit.seq"), primary_key=True, autoincrement=False),
        sa.Column("id", sa.String(10), nullable=False),
        sa.Column("entry", sa.Integer, nullable=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("plan_id", sa.String(10), sa.ForeignKey("plans.id"), nullable=False),
        sa.Column("kind", sa.String(16), nullable=False),
        sa.Column("status", sa.String(8), nullable=False),
        sa.Column("document", sa.LargeBinary, nullable=False),
    )
    op.create_index("preparations_by_id", "preparations", ["id", "seq"])
    op.create_index("preparations_by_plan", "preparations", ["plan_id", "seq"])
    op.create_table(
        "preparation_uses",
        sa.Column("seq", SEQUENCE, sa.ForeignKey("audit.seq"), primary_key=True, autoincrement=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("preparation_id", sa.String(10), nullable=False),
        sa.Column("entry", sa.Integer, nullable=False),
        sa.Column("what", sa.Text, nullable=False),
        sa.Column("lot", sa.Text, nullable=True),
        sa.Column("source_id", sa.String(10), nullable=True),
    )
    op.create_index("preparation_uses_by_preparation", "preparation_uses", ["preparation_id", "entry"])
    op.create_index("preparation_uses_by_source", "preparation_uses", ["source_id"])
    op.create_index("preparation_uses_by_lot", "preparation_uses", ["lot"])
    op.create_table(
        "standardisations",
        sa.Column("seq", SEQUENCE, sa.ForeignKey("audit.seq"), primary_key=True, autoincrement=False),
        sa.Column("id", sa.String(10), nullable=False, unique=True),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("preparation_id", sa.String(10), nullable=False),
        sa.Column("document", sa.LargeBinary, nullable=False),
    )
    op.create_index("standardisations_by_preparation", "standardisations", ["preparation_id", "seq"])
