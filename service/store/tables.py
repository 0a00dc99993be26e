"""The tables, as SQLAlchemy Core sees them. The migrations make them; a test holds the two together.

Times are text, UTC, ISO 8601 with microseconds: they sort, read the same in both databases, and enter the
audit hash unchanged. ``seq`` of a plan is the audit entry written with it in the same transaction. A conversation has
a row for each message, never changed; the newest holds its state.
"""

from sqlalchemy import BigInteger, Column, ForeignKey, Index, Integer, LargeBinary, MetaData, String, Table, Text

metadata = MetaData()

SEQUENCE = BigInteger().with_variant(Integer, "sqlite")  # INTEGER makes it the row id there: no second index

audit = Table(
    "audit",
    metadata,
    Column("seq", SEQUENCE, primary_key=True, autoincrement=False),
    Column("at", String(27), nullable=False),
    Column("actor", Text, nullable=False),
    Column("event", Text, nullable=False),
    Column("subject", Text, nullable=False),
    Column("body", LargeBinary, nullable=False),
    Column("prev_hash", String(64), nullable=False),
    Column("hash", String(64), nullable=False),
    Index("audit_by_subject", "subject", "seq"),
)

audit_head = Table(
    "audit_head",
    metadata,
    Column("only", Integer, primary_key=True, autoincrement=False),
    Column("seq", SEQUENCE, nullable=False),
    Column("hash", String(64), nullable=False),
)

plans = Table(
    "plans",
    metadata,
    Column("id", String(10), primary_key=True),
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), nullable=False, unique=True),
    Column("at", String(27), nullable=False),
    Column("client", Text, nullable=False),
    Column("text", Text),
    Column("request", Text),
    Column("read_as", Text),
    Column("document", LargeBinary, nullable=False),
    Column("outcome", String(16), nullable=False),
    Column("plan_hash", String(64), nullable=False),
    Column("rules_version", Text, nullable=False),
    Column("data_version", Text, nullable=False),
    Column("policy_version", Text),  # empty for replies from before there were any
    Index("plans_by_outcome", "outcome", "seq"),
    Index("plans_by_hash", "plan_hash"),
)

conversations = Table(
    "conversations",
    metadata,
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), primary_key=True, autoincrement=False),
    Column("id", String(10), nullable=False),
    Column("n", Integer, nullable=False),
    Column("at", String(27), nullable=False),
    Column("plan_id", String(10)),
    Column("taken_for", String(16)),
    Column("state", LargeBinary, nullable=False),
    Index("conversations_by_id", "id", "seq"),
)

# The bench record. An entry of a preparation is never changed: a correction, a standardisation or a new value of its
# source adds one, and the newest entry is what counts. ``preparation_uses`` says, per entry, from which lot or from
# which other preparation each thing came.
preparations = Table(
    "preparations",
    metadata,
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), primary_key=True, autoincrement=False),
    Column("id", String(10), nullable=False),
    Column("entry", Integer, nullable=False),
    Column("at", String(27), nullable=False),
    Column("plan_id", String(10), ForeignKey("plans.id"), nullable=False),
    Column("kind", String(16), nullable=False),
    Column("status", String(8), nullable=False),
    Column("document", LargeBinary, nullable=False),
    Index("preparations_by_id", "id", "seq"),
    Index("preparations_by_plan", "plan_id", "seq"),
)

preparation_uses = Table(
    "preparation_uses",
    metadata,
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), primary_key=True, autoincrement=False),
    Column("at", String(27), nullable=False),
    Column("preparation_id", String(10), nullable=False),
    Column("entry", Integer, nullable=False),
    Column("what", Text, nullable=False),
    Column("lot", Text),
    Column("source_id", String(10)),
    Index("preparation_uses_by_preparation", "preparation_id", "entry"),
    Index("preparation_uses_by_source", "source_id"),
    Index("preparation_uses_by_lot", "lot"),
)

standardisations = Table(
    "standardisations",
    metadata,
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), primary_key=True, autoincrement=False),
    Column("id", String(10), nullable=False, unique=True),
    Column("at", String(27), nullable=False),
    Column("preparation_id", String(10), nullable=False),
    Column("document", LargeBinary, nullable=False),
    Index("standardisations_by_preparation", "preparation_id", "seq"),
)
