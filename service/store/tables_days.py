"""The table of prep days. A row never changes; what is withdrawn or approved later stands with the plans it names."""

from sqlalchemy import Column, ForeignKey, Index, Integer, LargeBinary, String, Table, Text

from service.store.tables import SEQUENCE, metadata

days = Table(
    "days",
    metadata,
    Column("id", String(10), primary_key=True),
    Column("seq", SEQUENCE, ForeignKey("audit.seq"), nullable=False, unique=True),
    Column("at", String(27), nullable=False),
    Column("client", Text, nullable=False),
    Column("date", String(10), nullable=False),
    Column("requests", Integer, nullable=False),
    Column("preparations", Integer, nullable=False),
    Column("apart", Integer, nullable=False),
    Column("document", LargeBinary, nullable=False),
    Index("days_by_date", "date", "seq"),
)
