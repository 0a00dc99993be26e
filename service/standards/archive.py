"""Standardisations in the store: each with the new entry of its solution and of all made from it, in one transaction."""

import hashlib
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

import orjson
from sqlalchemy import select
from starlette.concurrency import run_in_threadpool

from service.audit.chain import Entry, Event
from service.plans.ids import new_id, read_id
from service.problems import Problem
from service.records.archive import Records
from service.records.entries import Standing, entry_writes
from service.standards.document import compose
from service.store.tables import standardisations
from service.store.writer import Write

Document = dict[str, Any]
_OF = select(standardisations.c.id, standardisations.c.at, standardisations.c.document).order_by(standardisations.c.seq)


@dataclass(frozen=True, slots=True)
class Standards:
    """The standardisations of one database; they share the lock of its records."""

    records: Records

    async def standardise(self, preparation: str, body: Document, client: str) -> tuple[Document, Entry]:
        """Store a standardisation; where it is accepted the solution and everything made from it get a new value.

        Raises Problem, StoreBusyError or StoreDownError.
        """
        made = new_id()
        async with self.records.lock:
            document, writes = await run_in_threadpool(self._compose, made, preparation, body, client)
            entry = await self.records.writer.write(*writes)
        return _published(made, preparation, entry.at, document), entry

    def of(self, preparation: str) -> list[Document]:
        """The standardisations of a preparation, oldest first. Raises Problem where no preparation has the id."""
        self.records.standing(preparation)
        with self.records.engine.connect() as connection:
            rows = connection.execute(_OF.where(standardisations.c.preparation_id == preparation)).all()
        return [_published(r.id, preparation, r.at, orjson.loads(r.document)) for r in rows]

    def _compose(self, made: str, preparation: str, body: Document, client: str) -> tuple[Document, list[Write]]:
        standing = self.records.standing(preparation)
        if standing.document["status"] != "made":
            raise Problem("cannot-be-standardised", "This preparation failed: there is nothing to standardise.")
        now = datetime.now(UTC)
        reply, judged = self.records.plan(standing.plan_id)
        document = compose(judged.plan, body, self._sources(body), judged.plan.lab, standing.made_at, now)
        document["id"], document["at"] = made, now.isoformat(timespec="microseconds").replace("+00:00", "Z")
        more: list[Write] = []
        if document["accepted"]:
            more = self._new_values(document, standing, (reply, judged), client)
        stored = orjson.dumps(document)
        told = {
            "preparation": preparation,
            "accepted": document["accepted"],
            "by": body["by"],
            "hash": hashlib.sha256(stored).hexdigest(),
        }
        event = Event(client, "preparation.titrated", made, orjson.dumps(told, option=orjson.OPT_SORT_KEYS))
        row = {"id": made, "preparation_id": preparation, "document": stored}
        return document, [Write(event, standardisations, row), *more]

    def _new_values(self, document: Document, standing: Standing, planned: Any, client: str) -> list[Write]:
        records = self.records
        new = records.composed_again(planned, standing, document)
        new |= {"entry_by": document["by"], "why": f"standardised against {document['standard']['name']}"}
        writes = entry_writes(client, "standardised", standing.id, standing.entries + 1, standing.plan_id, new)
        why = f"{standing.id}, which it was made from, was standardised"
        more, told = records.revalue(standing.id, new, client, why)
        if told:
            document["revalued"] = told
        return [*writes, *more]

    def _sources(self, body: Document) -> dict[str, Any]:
        given = read_id(body.get("standard_solution", {}).get("preparation", ""))
        return self.records.sources({"used": [{"source": given}]}) if given else {}


def _published(made: str, preparation: str, at: str, document: Document) -> Document:
    return {
        "id": made,
        "preparation": preparation,
        "at": at,
        **{k: v for k, v in document.items() if k not in ("id", "at")},
    }
