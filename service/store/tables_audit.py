"""The index the audit log is searched by: what each entry is about, one row for each term.

Written with the entry in one transaction. It is no part of the chain: it can be made anew from the log and the plans.
"""

from typing import NamedTuple

from sqlalchemy import Column, Float, Index, String, Table, Text

from service.store.tables import SEQUENCE, audit, metadata


class Term(NamedTuple):
    """One thing an entry is about: ``kind`` substance, class, lot or outcome; strength in mol/L, amount in g."""

    kind: str
    value: str
    strength: float | None = None
    amount_g: float | None = None


audit_terms = Table(
    "audit_terms",
    metadata,
    Column("kind", String(12), primary_key=True),
    Column("value", Text, primary_key=True),
    Column("seq", SEQUENCE, primary_key=True, autoincrement=False),
    Column("strength", Float),
    Column("amount_g", Float),
    sqlite_with_rowid=False,
)

by_actor = Index("audit_by_actor", audit.c.actor, audit.c.seq)
by_event = Index("audit_by_event", audit.c.event, audit.c.seq)
by_time = Index("audit_by_time", audit.c.at, audit.c.seq)
