"""Events to send: subscriptions, outbox, attempts."""

revision = "0008"
down_revision = "0007"


def upgrade() -> None:
    """Nothing yet."""
