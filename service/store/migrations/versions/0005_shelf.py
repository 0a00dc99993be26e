"""Bottles on the shelf: reagents, stocks and made solutions; what is taken, reserved, quarantined."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"

SEQUENCE = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make the two tables."""
    op.create_table(
        "shelf_items",
        sa.Column("id", sa.String(10), primary_key=True),
        sa.Column("seq", SEQUENCE, sa.ForeignKey("audit.seq"), nullable=False, unique=True),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("substance", sa.Text, nullable=False),
        sa.Column("lot", sa.Text, nullable=True),
        sa.Column("place", sa.Text, nullable=False),
        sa.Column("expiry", sa.String(10), nullable=True),
        sa.Column("preparation_id", sa.String(10), nullable=True),
        sa.Column("document", sa.LargeBinary, nullable=False),
    )
    op.create_index("shelf_items_by_substance", "shelf_items", ["substance", "seq"])
    op.create_index("shelf_items_by_expiry", "shelf_items", ["expiry", "seq"])
    op.create_index("shelf_items_by_preparation", "shelf_items", ["preparation_id"])
    op.create_table(
        "shelf_events",
        sa.Column("seq", SEQUENCE, sa.ForeignKey("audit.seq"), primary_key=True, autoincrement=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("subject_id", sa.String(10), nullable=False),
        sa.Column("kind", sa.String(12), nullable=False),
        sa.Column("amount", sa.Text, nullable=True),
        sa.Column("preparation_id", sa.String(10), nullable=True),
        sa.Column("document", sa.LargeBinary, nullable=False),
    )
    op.create_index("shelf_events_by_subject", "shelf_events", ["subject_id", "seq"])
    op.create_index("shelf_events_by_preparation", "shelf_events", ["preparation_id"])
