"""The hash chain: how an entry is hashed, how entries are linked, how a chain is checked. Pure functions.

Each entry's hash covers the hash before it, so changing, dropping or inserting an entry breaks every later
one. That makes tampering evident; it does not prevent it: somebody who can rewrite the whole log can rebuild
the chain, which is why the newest hash is also given out in replies and kept in a file outside the database.
"""

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

_FORMAT = b"prepwright-audit-1"
CLOCK_TOLERANCE_S = 5.0  # several machines may write to one log, with clocks this far apart


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened: who did what to which subject; ``body`` is canonical JSON."""

    actor: str
    event: str
    subject: str
    body: bytes


@dataclass(frozen=True, slots=True)
class Head:
    """The newest entry's place and hash; ``seq`` 0 is the empty log."""

    seq: int
    hash: str


EMPTY = Head(0, "0" * 64)


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the log."""

    seq: int
    at: str
    actor: str
    event: str
    subject: str
    body: bytes
    prev_hash: str
    hash: str


@dataclass(frozen=True, slots=True)
class Broken:
    """The first place where the log is not whole: the entry's number, a stable code and what is wrong."""

    seq: int
    code: str
    message: str


def entry_hash(prev_hash: str, seq: int, at: str, event: Event) -> str:
    """SHA-256 over the length-prefixed fields, so that no two different entries share a payload."""
    parts = (
        _FORMAT,
        prev_hash.encode(),
        str(seq).encode(),
        at.encode(),
        event.actor.encode(),
        event.event.encode(),
        event.subject.encode(),
        event.body,
    )
    return hashlib.sha256(b"".join([b"%d:%b," % (len(part), part) for part in parts])).hexdigest()


def link(head: Head, at: str, events: Sequence[Event]) -> list[Entry]:
    """The entries that continue the chain after ``head``, all at the time ``at``."""
    entries: list[Entry] = []
    seq, previous = head.seq, head.hash
    for event in events:
        seq += 1
        digest = entry_hash(previous, seq, at, event)
        entries.append(Entry(seq, at, event.actor, event.event, event.subject, event.body, previous, digest))
        previous = digest
    return entries


def check(entries: Iterable[Entry], *heads: Head) -> Broken | None:
    """The first fault of a whole log, or None; ``heads`` are what other places know as newest or past heads.

    Needs nothing but the entries in order, so it also runs on an export. Finds an altered, missing, inserted
    or re-ordered entry, a clock that ran backwards, and a tail that was cut off below a known head.
    """
    known = {head.seq: head.hash for head in heads if head.seq}
    last = EMPTY
    last_at = ""
    for entry in entries:
        if entry.seq != last.seq + 1:
            return Broken(
                last.seq + 1, "missing", f"entry {last.seq + 1} is missing: entry {entry.seq} follows {last.seq}"
            )
        if entry.prev_hash != last.hash:
            return Broken(entry.seq, "unlinked", f"entry {entry.seq} does not follow the entry before it")
        event = Event(entry.actor, entry.event, entry.subject, entry.body)
        if entry_hash(entry.prev_hash, entry.seq, entry.at, event) != entry.hash:
            return Broken(entry.seq, "altered", f"entry {entry.seq} was altered after it was written")
        if known.get(entry.seq, entry.hash) != entry.hash:
            return Broken(
                entry.seq, "rewritten", f"entry {entry.seq} is not the one that was known as head: the log was rebuilt"
            )
        if _seconds_back(last_at, entry.at) > CLOCK_TOLERANCE_S:
            return Broken(
                entry.seq, "clock", f"entry {entry.seq} is dated {entry.at}, before the entry above it ({last_at})"
            )
        last, last_at = Head(entry.seq, entry.hash), entry.at
    for seq in sorted(known):
        if seq > last.seq:
            return Broken(
                last.seq + 1,
                "cut",
                f"the tail is cut off from entry {last.seq + 1}: entry {seq} was written, the log ends at {last.seq}",
            )
    return None


def _seconds_back(earlier: str, later: str) -> float:
    if later >= earlier:
        return 0.0
    return (datetime.fromisoformat(earlier) - datetime.fromisoformat(later)).total_seconds()
