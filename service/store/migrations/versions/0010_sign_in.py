"""Whose account it is at another service, and sign-ins that are not finished yet."""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"

SEQUENCE = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make the two tables."""
    op.create_table(
        "identities",
        sa.Column("issuer", sa.Text, primary_key=True),
        sa.Column("subject", sa.Text, primary_key=True),
        sa.Column("seq", SEQUENCE, sa.ForeignKey("audit.seq"), nullable=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("person_id", sa.String(10), sa.ForeignKey("people.id"), nullable=False),
    )
    op.create_index("identities_by_person", "identities", ["person_id"])
    op.create_table(
        "handshakes",
        sa.Column("state_hash", sa.String(64), primary_key=True),
        sa.Column("kind", sa.String(8), nullable=False),
        sa.Column("nonce", sa.Text, nullable=False),
        sa.Column("kept", sa.Text, nullable=False),
        sa.Column("expires", sa.String(27), nullable=False),
    )
    op.create_index("handshakes_by_time", "handshakes", ["expires"])
