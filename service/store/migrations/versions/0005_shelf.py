"""Bottles on the shelf: reagents, stocks and made solutions; what is taken, reserved, quarantined."""

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    """Nothing yet."""
