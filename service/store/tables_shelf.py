"""Tables of the shelf. A bottle's row never changes; what happens to it are events that are only added.

``subject_id`` of an event is a bottle, or a preparation that was quarantined or withdrawn. ``amount`` is decimal text in the unit of
the bottle, so that no digit is lost.
"""

from sqlalchemy import Column, ForeignKey, Index, LargeBinary, String, Table, Text

from service.store.tables import SEQUENCE, metadata

shelf_items = Table(
    "shelf_items",
    metadata,
    Column("id", String(10), primary_key=True),
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), nullable=False, unique=True),
    Column("at", String(27), nullable=False),
    Column("substance", Text, nullable=False),
    Column("lot", Text),
    Column("place", Text, nullable=False),
    Column("expiry", String(10)),
    Column("preparation_id", String(10)),
    Column("document", LargeBinary, nullable=False),
    Index("shelf_items_by_substance", "substance", "seq"),
    Index("shelf_items_by_expiry", "expiry", "seq"),
    Index("shelf_items_by_preparation", "preparation_id"),
)

shelf_events = Table(
    "shelf_events",
    metadata,
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), primary_key=True, autoincrement=False),
    Column("at", String(27), nullable=False),
    Column("subject_id", String(10), nullable=False),
    Column("kind", String(12), nullable=False),
    Column("amount", Text),
    Column("preparation_id", String(10)),
    Column("document", LargeBinary, nullable=False),
    Index("shelf_events_by_subject", "subject_id", "seq"),
    Index("shelf_events_by_preparation", "preparation_id"),
)
