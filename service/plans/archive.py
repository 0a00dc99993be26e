"""Stored replies: what is written with each, and how they are found again."""

import hashlib
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

import orjson
from sqlalchemy import Connection, Engine, Executable, select

from service.audit import log
from service.audit.chain import Entry, Event
from service.audit.terms import terms_of
from service.plans.document import plan_hash
from service.plans.ids import new_id
from service.store.tables import plans
from service.store.tables_approvals import withdrawals
from service.store.writer import Write, Writer

ANSWERED = "plan.answered"

_ONE = select(plans.c.id, plans.c.document, plans.c.plan_hash)
_GONE = select(withdrawals.c.seq).where(withdrawals.c.plan_id == plans.c.id).exists().label("withdrawn")
_LINES = select(
    plans.c.seq, plans.c.id, plans.c.at, plans.c.outcome, plans.c.text, plans.c.read_as, plans.c.plan_hash, _GONE
).order_by(plans.c.seq.desc())
_SAVED = select(plans.c.id, plans.c.outcome, plans.c.text, plans.c.request, plans.c.read_as)
_KEPT = select(plans.c.outcome, plans.c.document, plans.c.text, plans.c.rules_version, plans.c.data_version, plans.c.policy_version)


@dataclass(frozen=True, slots=True)
class Stored:
    """A reply that is on disk: its id, JSON bytes (without the id), hash and audit entry."""

    id: str
    document: bytes
    plan_hash: str
    entry: Entry


@dataclass(frozen=True, slots=True)
class Draft:
    """A reply that is to be stored: its id, JSON bytes (without the id), hash, and the write that stores it."""

    id: str
    document: bytes
    plan_hash: str
    write: Write


@dataclass(frozen=True, slots=True)
class Archive:
    """The plans of one database."""

    engine: Engine
    writer: Writer

    async def store(
        self,
        text: str | None,
        document: dict[str, Any],
        client: str,
        along: Callable[[str], Iterable[Write | None]] | None = None,
        finish: Callable[[Stored], Executable] | None = None,
    ) -> Stored:
        """Write a reply and its audit entry in one transaction; returns after the commit.

        ``along`` gives, from the reply's id, writes that belong to it; ``finish`` a statement that keeps the reply
        as it was given.

        Raises StoreBusyError or StoreDownError when it was not written.
        """
        draft = self.draft(text, document, client)
        write = draft.write
        if finish is not None:
            write = write.followed_by(lambda entry: finish(Stored(draft.id, draft.document, draft.plan_hash, entry)))
        more = () if along is None else tuple(write for write in along(draft.id) if write is not None)
        entry = await self.writer.write(write, *more)
        return Stored(draft.id, draft.document, draft.plan_hash, entry)

    def draft(self, text: str | None, document: dict[str, Any], client: str) -> Draft:
        """A reply with its new id and the write that stores and logs it."""
        body = orjson.dumps(document)
        digest = plan_hash(document)
        plan_id = new_id()
        asked = storable(text)
        versions = document["versions"]
        event = Event(client, ANSWERED, plan_id, _told(document["outcome"], digest, asked, versions))
        row = {
            "id": plan_id,
            "client": client,
            "text": asked,
            "request": orjson.dumps(document["request"]).decode() if "request" in document else None,
            "read_as": storable(document.get("read_as")),
            "document": body,
            "outcome": document["outcome"],
            "plan_hash": digest,
            "rules_version": versions["rules"],
            "data_version": versions["data"],
            "policy_version": versions.get("policy"),
        }
        return Draft(plan_id, body, digest, Write(event, plans, row, terms_of(document)))

    def get(self, plan_id: str, only: str | None = None) -> tuple[str, bytes, str] | None:
        """Id, JSON bytes (without the id) and hash of a stored reply, or None; with ``only``, what that client asked."""
        query = _ONE.where(plans.c.id == plan_id)
        with self.engine.connect() as connection:
            row = connection.execute(query if only is None else query.where(plans.c.client == only)).one_or_none()
        return None if row is None else (row.id, row.document, row.plan_hash)

    def saved(self, plan_id: str, only: str | None = None) -> Any:
        """Id, outcome, text, request (JSON) and what it was read as, of a stored reply, or None."""
        query = _SAVED.where(plans.c.id == plan_id)
        with self.engine.connect() as connection:
            return connection.execute(query if only is None else query.where(plans.c.client == only)).one_or_none()

    def page(
        self, outcome: str | None, before: int | None, limit: int, only: str | None = None
    ) -> tuple[list[dict[str, Any]], int | None]:
        """The newest ``limit`` replies before the place ``before``, one line each, and where the next page starts."""
        query = _LINES.limit(limit + 1)
        if outcome is not None:
            query = query.where(plans.c.outcome == outcome)
        if only is not None:
            query = query.where(plans.c.client == only)
        if before is not None:
            query = query.where(plans.c.seq < before)
        with self.engine.connect() as connection:
            rows = connection.execute(query).all()
        lines = [
            {
                key: value
                for key, value in (
                    ("id", r.id),
                    ("at", r.at),
                    ("outcome", r.outcome),
                    ("text", r.text),
                    ("read_as", r.read_as),
                    ("plan_hash", r.plan_hash),
                    ("withdrawn", True if r.withdrawn else None),
                )
                if value is not None
            }
            for r in rows[:limit]
        ]
        return lines, rows[limit - 1].seq if len(rows) > limit else None


def _told(outcome: str, digest: str, text: str | None, versions: dict[str, str]) -> bytes:
    """What the audit log keeps of a reply: enough to notice any later change of the stored row."""
    told = {
        "outcome": outcome,
        "plan_hash": digest,
        "text_hash": None if text is None else hashlib.sha256(text.encode()).hexdigest(),
        "versions": versions,
    }
    return orjson.dumps(told, option=orjson.OPT_SORT_KEYS)


def _versions(row: Any) -> dict[str, str]:
    found = {"rules": row.rules_version, "data": row.data_version}
    return found if row.policy_version is None else {**found, "policy": row.policy_version}


def storable(text: str | None) -> str | None:
    """PostgreSQL text holds every character but NUL: that one is kept as its visible symbol."""
    return None if text is None else text.replace("\x00", "\u2400")


def altered_plan(engine: Engine) -> str | None:
    """The first plan that no longer matches its audit entry (changed or gone), or None.

    The audit log says what was stored; whether the log itself is whole is ``service.audit.log.verify``.
    """
    with engine.connect() as connection:
        found = altered_among(connection, log.entries(connection))
    return None if found is None else found.subject


def altered_among(connection: Connection, entries: Iterable[Entry]) -> Entry | None:
    """The first of the entries whose plan is not the one that was logged, or None."""
    for entry in entries:
        if entry.event == ANSWERED:
            row = connection.execute(_KEPT.where(plans.c.id == entry.subject)).one_or_none()
            if (
                row is None
                or _told(row.outcome, plan_hash(orjson.loads(row.document)), row.text, _versions(row)) != entry.body
            ):
                return entry
    return None
