"""Versions of the local policy, and the one each reply was made under."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"

SEQUENCE = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make the table; add the column."""
    op.create_table(
        "policies",
        sa.Column("n", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("seq", SEQUENCE, sa.ForeignKey("audit.seq"), nullable=False, unique=True),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("proposed_by", sa.Text, nullable=False),
        sa.Column("reason", sa.Text, nullable=False),
        sa.Column("based_on", sa.Integer, nullable=False),
        sa.Column("digest", sa.String(8), nullable=False),
        sa.Column("document", sa.LargeBinary, nullable=False),
        sa.Column("state", sa.String(8), nullable=False),
        sa.Column("decided_seq", SEQUENCE, sa.ForeignKey("audit.seq"), nullable=True),
        sa.Column("decided_at", sa.String(27), nullable=True),
        sa.Column("decided_by", sa.Text, nullable=True),
        sa.Column("decision_reason", sa.Text, nullable=True),
    )
    op.create_index("policies_by_state", "policies", ["state"])
    op.add_column("plans", sa.Column("policy_version", sa.Text, nullable=True))
