"""The audit log in the database: reading its head under a lock, appending, and checking it whole."""

from collections.abc import Iterator, Sequence

from sqlalchemy import Connection, Engine, insert, select, update

from service.audit.chain import Broken, Entry, Event, Head, check, link
from service.store.tables import audit, audit_head

_HEAD = select(audit_head.c.seq, audit_head.c.hash).where(audit_head.c.only == 1)
_HEAD_LOCKED = _HEAD.with_for_update()
_INSERT = insert(audit)
_MOVE = update(audit_head).where(audit_head.c.only == 1)
_HASH_AT = select(audit.c.hash)
_ALL = select(
    audit.c.seq,
    audit.c.at,
    audit.c.actor,
    audit.c.event,
    audit.c.subject,
    audit.c.body,
    audit.c.prev_hash,
    audit.c.hash,
).order_by(audit.c.seq)


def head(connection: Connection) -> Head:
    """The newest entry, as it is now."""
    return Head(*connection.execute(_HEAD).one())


def lock_head(connection: Connection) -> Head:
    """The newest entry, locked until the caller's transaction ends: several workers share one unforked chain.

    SQLite has no row locks; there the transaction took the write lock when it began.
    """
    return Head(*connection.execute(_HEAD_LOCKED).one())


def append(connection: Connection, before: Head, at: str, events: Sequence[Event]) -> list[Entry]:
    """Write the events as the entries after ``before`` (from ``lock_head``), in the caller's transaction."""
    entries = link(before, at, events)
    connection.execute(
        _INSERT,
        [
            {
                "seq": e.seq,
                "at": e.at,
                "actor": e.actor,
                "event": e.event,
                "subject": e.subject,
                "body": e.body,
                "prev_hash": e.prev_hash,
                "hash": e.hash,
            }
            for e in entries
        ],
    )
    connection.execute(_MOVE, {"seq": entries[-1].seq, "hash": entries[-1].hash})
    return entries


def holds(connection: Connection, entry: Head) -> bool:
    """Whether the log has exactly that entry (the empty head is in every log)."""
    if entry.seq == 0:
        return True
    return connection.execute(_HASH_AT.where(audit.c.seq == entry.seq)).scalar() == entry.hash


def after(connection: Connection, seq: int, most: int) -> list[Entry]:
    """At most ``most`` entries in order from the one behind ``seq``."""
    return [Entry._make(row) for row in connection.execute(_ALL.where(audit.c.seq > seq).limit(most))]


def entries(connection: Connection) -> Iterator[Entry]:
    """Every entry in order, read in pages so that a long log does not fill the memory."""
    for page in connection.execution_options(yield_per=1000).execute(_ALL).partitions():
        yield from map(Entry._make, page)


def verify(engine: Engine, *known: Head) -> Broken | None:
    """The first fault of the stored log, or None; ``known`` heads come from replies or the head file."""
    with engine.connect() as connection:
        return check(entries(connection), head(connection), *known)
