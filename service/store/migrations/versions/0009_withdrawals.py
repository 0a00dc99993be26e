"""Plans that were withdrawn, with who and why."""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"

SEQUENCE = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "withdrawals",
        sa.Column("seq", SEQUENCE, sa.ForeignKey("audit.seq"), primary_key=True, autoincrement=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("plan_id", sa.String(10), sa.ForeignKey("plans.id"), nullable=False),
        sa.Column("person", sa.Text, nullable=False),
        sa.Column("reason", sa.Text, nullable=False),
    )
    op.create_index("withdrawals_by_plan", "withdrawals", ["plan_id", "seq"])
