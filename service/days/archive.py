"""Prep days in the store: written with all their plans in one transaction, never changed, found again."""

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import orjson
from sqlalchemy import Connection, Engine, Row, select

from service.approvals.archive import Holds
from service.audit import log
from service.audit.chain import Entry, Event
from service.days.ordering import tasks
from service.days.picking import pick_list
from service.plans.document import canonical
from service.plans.withdrawal import Withdrawals
from service.problems import Problem
from service.shelf.places import with_places
from service.store.tables_days import days
from service.store.writer import Write

Document = dict[str, Any]
MADE = "day.made"
_COLUMNS = (days.c.id, days.c.at, days.c.date, days.c.requests, days.c.preparations, days.c.apart)
_LINES = select(days.c.seq, *_COLUMNS).order_by(days.c.seq.desc())


@dataclass(frozen=True, slots=True)
class Days:
    """The prep days of one database."""

    engine: Engine
    holds: Holds
    withdrawals: Withdrawals

    def write(self, day: str, document: Document, client: str) -> Write:
        """The write that stores and logs a day; the log keeps the hash of the document and the plans it names."""
        told = {
            "date": document["date"],
            "plans": sorted(one["plan"] for one in (*document["preparations"], *document["apart"])),
            "document_hash": hashlib.sha256(canonical(document)).hexdigest(),
        }
        row = {
            "id": day, "client": client, "date": document["date"], "requests": document["requests"],
            "preparations": len(document["preparations"]), "apart": len(document["apart"]), "document": orjson.dumps(document),
        }  # fmt: skip
        return Write(Event(client, MADE, day, orjson.dumps(told, option=orjson.OPT_SORT_KEYS)), days, row)

    def get(self, day: str, only: str | None, places: bool) -> Document:
        """A day as it stands now; with ``only``, of that client. Raises Problem where there is none."""
        query = select(days).where(days.c.id == day)
        with self.engine.connect() as connection:
            row: Row[Any] | None = connection.execute(
                query if only is None else query.where(days.c.client == only)
            ).one_or_none()
        if row is None:
            raise Problem("no-such-day", "No prep day has this id.")
        return self.published(row.id, row.at, orjson.loads(row.document), places)

    def published(self, day: str, at: str, document: Document, places: bool) -> Document:
        """The day with what came later: plans that were withdrawn, decisions; with ``places``, where things stand on the shelf.

        What was withdrawn is neither fetched nor made: it is in the list of preparations only, and marked.
        """
        found: Document = {"id": day, "at": at, **document}
        found["preparations"] = [
            one if self.withdrawals.of(one["plan"]) is None else {**one, "withdrawn": True}
            for one in document["preparations"]
        ]
        left = [one for one in found["preparations"] if "withdrawn" not in one]
        if len(left) < len(found["preparations"]):
            found["preparations"] = _without(found["preparations"])
            left = [one for one in found["preparations"] if "withdrawn" not in one]
            found["pick_list"], found["order"] = pick_list(left), tasks(left)
        found["apart"] = [self._standing(one) for one in document["apart"]]
        if places:
            with self.engine.connect() as connection:
                found["pick_list"] = with_places(found["pick_list"], connection)
        return found

    def page(self, before: int | None, limit: int, only: str | None) -> tuple[list[Document], int | None]:
        """The newest ``limit`` days before that place, one line each, and where the next page starts."""
        query = _LINES.limit(limit + 1)
        if only is not None:
            query = query.where(days.c.client == only)
        if before is not None:
            query = query.where(days.c.seq < before)
        with self.engine.connect() as connection:
            rows = connection.execute(query).all()
        lines = [{str(column.name): getattr(row, column.name) for column in _COLUMNS} for row in rows[:limit]]
        return lines, rows[limit - 1].seq if len(rows) > limit else None

    def _standing(self, one: Document) -> Document:
        standing = self.holds.standing(one["plan"]) if one["why"] == "held" else None
        return one if standing is None else {**one, "state": standing.approvals.state}


def _without(preparations: list[Document]) -> list[Document]:
    """The preparations, with a caution on each that was to be taken from one that was withdrawn."""
    gone = {one["n"] for one in preparations if "withdrawn" in one}
    found = []
    for one in preparations:
        lost = [taken for taken in one.get("takes_from", ()) if taken["preparation"] in gone]
        said = [f"Preparation {taken['preparation']}, from which it was to be taken, was withdrawn." for taken in lost]
        found.append({**one, "cautions": [*one["cautions"], *said]} if said else one)
    return found


def altered_day(engine: Engine) -> str | None:
    """The first day that no longer matches its audit entry (changed or gone), or None."""
    with engine.connect() as connection:
        found = altered_among(connection, log.entries(connection))
    return None if found is None else found.subject


def altered_among(connection: Connection, entries: Iterable[Entry]) -> Entry | None:
    """The first of the entries whose day is not the one that was logged, or None."""
    for entry in entries:
        if entry.event == MADE:
            kept = connection.execute(select(days.c.document).where(days.c.id == entry.subject)).scalar()
            told = orjson.loads(entry.body)["document_hash"]
            if kept is None or hashlib.sha256(canonical(orjson.loads(kept))).hexdigest() != told:
                return entry
    return None
