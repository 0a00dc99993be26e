"""Versions of the local policy. A row is a proposal; it is never changed but for where it stands and who decided.

``state`` is proposed, in force, replaced or declined; at most one row is in force. ``n`` counts proposals, so that a number
names one document for ever. ``based_on`` is the version it was compared with; 0 is what is shipped.
"""

from sqlalchemy import Column, ForeignKey, Index, Integer, LargeBinary, String, Table, Text

from service.store.tables import SEQUENCE, metadata

policies = Table(
    "policies",
    metadata,
    Column("n", Integer, primary_key=True, autoincrement=False),
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), nullable=False, unique=True),
    Column("at", String(27), nullable=False),
    Column("proposed_by", Text, nullable=False),
    Column("reason", Text, nullable=False),
    Column("based_on", Integer, nullable=False),
    Column("digest", String(8), nullable=False),
    Column("document", LargeBinary, nullable=False),
    Column("state", String(8), nullable=False),
    Column("decided_seq", SEQUENCE, ForeignKey("audit.seq")),
    Column("decided_at", String(27)),
    Column("decided_by", Text),
    Column("decision_reason", Text),
    Index("policies_by_state", "state"),
)
