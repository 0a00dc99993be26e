"""Tables of holds, of the decisions about them, of withdrawn plans, and of requests that carried an Idempotency-Key.

A decision and a withdrawal are rows that are only added. ``holds.state`` repeats what the decisions say, so that the queue is found by an
index; it is moved in the transaction that adds a decision; that of a withdrawn plan is closed.
"""

from sqlalchemy import Column, ForeignKey, Index, Integer, LargeBinary, String, Table, Text

from service.store.tables import SEQUENCE, metadata

holds = Table(
    "holds",
    metadata,
    Column("plan_id", String(10), ForeignKey("plans.id"), primary_key=True),
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), nullable=False),
    Column("at", String(27), nullable=False),
    Column("asker", Text, nullable=False),
    Column("state", String(8), nullable=False),
    Column("rank", Integer, nullable=False),
    Column("needs", Integer, nullable=False),
    Column("needed_by", String(10), nullable=False),
    Column("same", String(64), nullable=False),
    Index("holds_by_state", "state", "rank", "needed_by", "seq"),
    Index("holds_by_request", "same", "state", "seq"),
)

decisions = Table(
    "decisions",
    metadata,
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), primary_key=True, autoincrement=False),
    Column("at", String(27), nullable=False),
    Column("plan_id", String(10), ForeignKey("plans.id"), nullable=False),
    Column("person", Text, nullable=False),
    Column("decision", String(8), nullable=False),
    Column("reason", Text, nullable=False),
    Column("conditions", Text, nullable=False),
    Index("decisions_by_plan", "plan_id", "seq"),
)

withdrawals = Table(
    "withdrawals",
    metadata,
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), primary_key=True, autoincrement=False),
    Column("at", String(27), nullable=False),
    Column("plan_id", String(10), ForeignKey("plans.id"), nullable=False),
    Column("person", Text, nullable=False),
    Column("reason", Text, nullable=False),
    Index("withdrawals_by_plan", "plan_id", "seq"),
)

repeats = Table(
    "repeats",
    metadata,
    Column("client", Text, primary_key=True),
    Column("key", Text, primary_key=True),
    Column("fingerprint", String(64), nullable=False),
    Column("at", String(27), nullable=False),
    Column("status", Integer),
    Column("headers", Text),
    Column("body", LargeBinary),
    Index("repeats_by_time", "at"),
)
