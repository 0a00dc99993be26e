"""Plans, the audit log and its head."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

SEQUENCE = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make the first three tables, with an empty audit log."""
    op.create_table(
        "audit",
        sa.Column("seq", SEQUENCE, primary_key=True, autoincrement=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("actor", sa.Text, nullable=False),
        sa.Column("event", sa.Text, nullable=False),
        sa.Column("subject", sa.Text, nullable=False),
        sa.Column("body", sa.LargeBinary, nullable=False),
        sa.Column("prev_hash", sa.String(64), nullable=False),
        sa.Column("hash", sa.String(64), nullable=False),
    )
    op.create_index("audit_by_subject", "audit", ["subject", "seq"])
    head = op.create_table(
        "audit_head",
        sa.Column("only", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("seq", SEQUENCE, nullable=False),
        sa.Column("hash", sa.String(64), nullable=False),
    )
    op.bulk_insert(head, [{"only": 1, "seq": 0, "hash": "0" * 64}])
    op.create_table(
        "plans",
        sa.Column("id", sa.String(10), primary_key=True),
        sa.Column("seq", SEQUENCE, sa.ForeignKey("audit.seq"), nullable=False, unique=True),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("client", sa.Text, nullable=False),
        sa.Column("text", sa.Text),
        sa.Column("request", sa.Text),
        sa.Column("read_as", sa.Text),
        sa.Column("document", sa.LargeBinary, nullable=False),
        sa.Column("outcome", sa.String(16), nullable=False),
        sa.Column("plan_hash", sa.String(64), nullable=False),
        sa.Column("rules_version", sa.Text, nullable=False),
        sa.Column("data_version", sa.Text, nullable=False),
    )
    op.create_index("plans_by_outcome", "plans", ["outcome", "seq"])
    op.create_index("plans_by_hash", "plans", ["plan_hash"])
