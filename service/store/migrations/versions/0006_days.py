"""Requests for a day and the prep days made of them."""

revision = "0006"
down_revision = "0005"


def upgrade() -> None:
    """Nothing yet."""
