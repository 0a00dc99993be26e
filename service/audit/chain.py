"""The hash chain: how an entry is hashed, how entries are linked, how a chain is checked. Pure functions.

Each entry's hash covers the hash before it, so changing, dropping or inserting an entry breaks every later
one. That makes tampering evident; it does not prevent it: somebody who can rewrite the whole log can rebuild
the chain, which is why the newest hash is also given out in replies and kept in a file outside the database.
"""

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

_FORMAT = "18:prepwright-audit-1,"
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


class Entry(NamedTuple):
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
    return _digest(prev_hash, seq, at, event.actor, event.event, event.subject, event.body)


def _digest(prev_hash: str, seq: int, at: str, actor: str, event: str, subject: str, body: bytes) -> str:
    place = str(seq)
    head = (
        f"{_FORMAT}{len(prev_hash)}:{prev_hash},{len(place)}:{place},{len(at)}:{at},{len(actor)}:{actor},"
        f"{len(event)}:{event},{len(subject)}:{subject},{len(body)}:"
    )
    if head.isascii():  # lengths are those of the bytes
        return hashlib.sha256(b"%b%b," % (head.encode("ascii"), body)).hexdigest()
    parts = (prev_hash, place, at, actor, event, subject)
    prefixed = b"".join([b"%d:%b," % (len(part), part) for part in (text.encode() for text in parts)])
    return hashlib.sha256(b"%b%b%d:%b," % (_FORMAT.encode(), prefixed, len(body), body)).hexdigest()


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


class Checking:
    """A log that is checked in order, a part at a time; ``heads`` are what other places know as newest or past heads.

    Needs nothing but the entries in order, so it also runs on an export. Finds an altered, missing, inserted
    or re-ordered entry, a clock that ran backwards, and a tail that was cut off below a known head.
    """

    def __init__(self, *heads: Head) -> None:
        self._known = {head.seq: head.hash for head in heads if head.seq}
        self.last = EMPTY
        self._at = ""

    def part(self, entries: Iterable[Entry]) -> Broken | None:
        """The first fault of the entries that follow what was checked before, or None."""
        known, last_seq, last_hash, last_at = self._known, self.last.seq, self.last.hash, self._at
        for seq, at, actor, event, subject, body, previous, own in entries:
            if seq != last_seq + 1:
                return Broken(last_seq + 1, "missing", f"entry {last_seq + 1} is missing: entry {seq} follows {last_seq}")
            if previous != last_hash:
                return Broken(seq, "unlinked", f"entry {seq} does not follow the entry before it")
            if _digest(previous, seq, at, actor, event, subject, body) != own:
                return Broken(seq, "altered", f"entry {seq} was altered after it was written")
            if known.get(seq, own) != own:
                return Broken(seq, "rewritten", f"entry {seq} is not the one that was known as head: the log was rebuilt")
            if at < last_at and _seconds_back(last_at, at) > CLOCK_TOLERANCE_S:
                return Broken(seq, "clock", f"entry {seq} is dated {at}, before the entry above it ({last_at})")
            last_seq, last_hash, last_at = seq, own, at
        self.last, self._at = Head(last_seq, last_hash), last_at
        return None

    def end(self) -> Broken | None:
        """What is missing at the end, or None."""
        last = self.last.seq
        for seq in sorted(self._known):
            if seq > last:
                return Broken(
                    last + 1,
                    "cut",
                    f"the tail is cut off from entry {last + 1}: entry {seq} was written, the log ends at {last}",
                )
        return None


def check(entries: Iterable[Entry], *heads: Head) -> Broken | None:
    """The first fault of a whole log, or None."""
    checking = Checking(*heads)
    return checking.part(entries) or checking.end()


def _seconds_back(earlier: str, later: str) -> float:
    return (datetime.fromisoformat(earlier) - datetime.fromisoformat(later)).total_seconds()
