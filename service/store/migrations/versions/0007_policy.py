"""Versions of the local policy."""

revision = "0007"
down_revision = "0006"


def upgrade() -> None:
    """Nothing yet."""
