"""Tables of who may do what: people and machines, their keys, sessions, identities elsewhere, and the keys that sign tokens.

Names stand here alone: the audit log holds ids, so a name can be taken out without breaking the chain.
"""

from sqlalchemy import Column, ForeignKey, Index, Integer, LargeBinary, String, Table, Text

from service.store.tables import SEQUENCE, metadata, plans

plans_by_client = Index("plans_by_client", plans.c.client, plans.c.seq)

people = Table(
    "people",
    metadata,
    Column("id", String(10), primary_key=True),
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), nullable=False),
    Column("at", String(27), nullable=False),
    Column("name", String(64), nullable=False, unique=True),
    Column("full_name", Text, nullable=False),
    Column("roles", Text, nullable=False),
    Column("password", Text),
    Column("active", Integer, nullable=False),
    Column("failures", Integer, nullable=False),
    Column("locked_until", String(27)),
)

api_keys = Table(
    "api_keys",
    metadata,
    Column("id", String(10), primary_key=True),
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), nullable=False),
    Column("at", String(27), nullable=False),
    Column("person_id", String(10), ForeignKey("people.id"), nullable=False),
    Column("secret_hash", String(64), nullable=False),
    Column("scopes", Text, nullable=False),
    Column("expires", String(27), nullable=False),
    Column("withdrawn", Integer, nullable=False),
    Index("api_keys_by_person", "person_id"),
)

sessions = Table(
    "sessions",
    metadata,
    Column("token_hash", String(64), primary_key=True),
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), nullable=False),
    Column("at", String(27), nullable=False),
    Column("person_id", String(10), ForeignKey("people.id"), nullable=False),
    Column("expires", String(27), nullable=False),
)

identities = Table(
    "identities",
    metadata,
    Column("issuer", Text, primary_key=True),
    Column("subject", Text, primary_key=True),
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), nullable=False),
    Column("at", String(27), nullable=False),
    Column("person_id", String(10), ForeignKey("people.id"), nullable=False),
    Index("identities_by_person", "person_id"),
)

handshakes = Table(
    "handshakes",
    metadata,
    Column("state_hash", String(64), primary_key=True),
    Column("kind", String(8), nullable=False),
    Column("nonce", Text, nullable=False),
    Column("kept", Text, nullable=False),
    Column("expires", String(27), nullable=False),
    Index("handshakes_by_time", "expires"),
)

signing_keys = Table(
    "signing_keys",
    metadata,
    Column("id", String(10), primary_key=True),
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), nullable=False),
    Column("at", String(27), nullable=False),
    Column("secret", LargeBinary, nullable=False),
)
