"""Who is told of events, by which secrets, and what is still to be sent to whom.

A delivery is written in the transaction of its event. ``lease_until`` and ``lease_by`` say which sender is at it, so that
several servers on one database do not send it twice; a sender that died loses it when the lease is over.
"""

from sqlalchemy import Column, ForeignKey, Index, Integer, LargeBinary, String, Table, Text

from service.store.tables import SEQUENCE, metadata

webhooks = Table(
    "webhooks",
    metadata,
    Column("id", String(10), primary_key=True),
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), nullable=False, unique=True),
    Column("at", String(27), nullable=False),
    Column("url", Text, nullable=False),
    Column("types", Text, nullable=False),
    Column("active", Integer, nullable=False),
)

# Secrets are kept as they are: a signature cannot be made from a hash. ``expires`` is empty for the newest.
webhook_secrets = Table(
    "webhook_secrets",
    metadata,
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), primary_key=True, autoincrement=False),
    Column("at", String(27), nullable=False),
    Column("webhook_id", String(10), nullable=False),
    Column("secret", Text, nullable=False),
    Column("expires", String(27)),
    Index("webhook_secrets_by_webhook", "webhook_id", "seq"),
)

deliveries = Table(
    "deliveries",
    metadata,
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), primary_key=True, autoincrement=False),
    Column("webhook_id", String(10), ForeignKey("webhooks.id"), primary_key=True),
    Column("at", String(27), nullable=False),
    Column("message_id", Text, nullable=False),
    Column("type", Text, nullable=False),
    Column("body", LargeBinary, nullable=False),
    Column("state", String(8), nullable=False),
    Column("attempts", Integer, nullable=False),
    Column("next_at", String(27), nullable=False),
    Column("lease_until", String(27)),
    Column("lease_by", Text),
    Column("done_at", String(27)),
    Column("answer", Text),
    Index("deliveries_due", "state", "next_at"),
    Index("deliveries_by_webhook", "webhook_id", "seq"),
)
