"""Events to send: who is told, by which secrets, and what is still to be sent."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"

SEQUENCE = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make the three tables."""
    op.create_table(
        "webhooks",
        sa.Column("id", sa.String(10), primary_key=True),
        sa.Column("seq", SEQUENCE, sa.ForeignKey("audit.seq"), nullable=False, unique=True),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("url", sa.Text, nullable=False),
        sa.Column("types", sa.Text, nullable=False),
        sa.Column("active", sa.Integer, nullable=False),
    )
    op.create_table(
        "webhook_secrets",
        sa.Column("seq", SEQUENCE, sa.ForeignKey("audit.seq"), primary_key=True, autoincrement=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("webhook_id", sa.String(10), nullable=False),
        sa.Column("secret", sa.Text, nullable=False),
        sa.Column("expires", sa.String(27), nullable=True),
    )
    op.create_index("webhook_secrets_by_webhook", "webhook_secrets", ["webhook_id", "seq"])
    op.create_table(
        "deliveries",
        sa.Column("seq", SEQUENCE, sa.ForeignKey("audit.seq"), primary_key=True, autoincrement=False),
        sa.Column("webhook_id", sa.String(10), sa.ForeignKey("webhooks.id"), primary_key=True),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("message_id", sa.Text, nullable=False),
        sa.Column("type", sa.Text, nullable=False),
        sa.Column("body", sa.LargeBinary, nullable=False),
        sa.Column("state", sa.String(8), nullable=False),
        sa.Column("attempts", sa.Integer, nullable=False),
        sa.Column("next_at", sa.String(27), nullable=False),
        sa.Column("lease_until", sa.String(27), nullable=True),
        sa.Column("lease_by", sa.Text, nullable=True),
        sa.Column("done_at", sa.String(27), nullable=True),
        sa.Column("answer", sa.Text, nullable=True),
    )
    op.create_index("deliveries_due", "deliveries", ["state", "next_at"])
    op.create_index("deliveries_by_webhook", "deliveries", ["webhook_id", "seq"])
