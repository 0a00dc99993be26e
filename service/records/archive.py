"""The bench record in the store: entries that are only added, each with its audit entry in one transaction.

The newest entry of a preparation is what counts. When the strength of one changes, everything made from it gets a new
entry in the same transaction. Records are taken one after the other in a process; two processes that add entries to one
preparation at the same instant both keep theirs, and the later one counts.
"""

import asyncio
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

import orjson
from sqlalchemy import Connection, Engine, Executable, select
from starlette.concurrency import run_in_threadpool

from service import requests
from service.audit.chain import Entry
from service.bench import Bench
from service.pipeline import Judged, consider
from service.plans.archive import Archive
from service.plans.ids import new_id, read_id
from service.problems import FieldError, Problem
from service.records.bodies import plain, read_body, wrong
from service.records.changes import changed_fields
from service.records.document import compose, recordable, request_of
from service.records.entries import Standing, entry_writes, first_entry, line, said, source_value
from service.records.used import SourceValue
from service.schemas.records import PreparationBody
from service.shelf import takes
from service.store.tables import plans, preparation_uses, preparations, standardisations
from service.store.writer import Write, Writer

Document = dict[str, Any]
Planned = tuple[Document, Judged]
Keep = Callable[[Document, Entry], Executable]

_ENTRIES = select(
    preparations.c.id, preparations.c.entry, preparations.c.at, preparations.c.plan_id, preparations.c.kind,
    preparations.c.document,
).order_by(preparations.c.seq)  # fmt: skip
_FIRST = (
    select(preparations.c.seq, preparations.c.id).where(preparations.c.entry == 1).order_by(preparations.c.seq.desc())
)
_STANDING = select(standardisations.c.document)


@dataclass(frozen=True, slots=True)
class Records:
    """The preparations of one database.

    ``bench_of`` gives the bench of the policy a reply was made under; ``approved`` says of a held plan whether somebody
    has allowed it.
    """

    engine: Engine
    writer: Writer
    plans: Archive
    bench_of: Callable[[str | None], Bench]
    approved: Callable[[str], bool]
    lock: asyncio.Lock = field(default_factory=asyncio.Lock)

    async def record(self, plan_id: str, body: Document, client: str, keep: Keep | None = None) -> tuple[Document, Entry]:
        """Store a new preparation; what clients get, and its audit entry. Raises Problem, StoreBusyError, StoreDownError.

        ``keep`` makes a statement of the same transaction from both.
        """
        made = new_id()

        def compose_it() -> list[Write]:
            reply, judged = self.plan(plan_id)
            with self.engine.connect() as connection:
                drew = takes.drawn(connection, judged.plan, body)
                document = self._composed((reply, judged), drew, datetime.now(UTC))
                events, told = takes.writes(connection, drew, made, plan_id, client)
            document |= {"entry_by": body["by"]} | ({"from_shelf": told} if told else {})
            first, *links = entry_writes(client, "recorded", made, 1, plan_id, document)
            if keep is not None:
                first = first.followed_by(lambda entry: keep(first_entry(made, plan_id, document, entry.at), entry))
            return [first, *links, *events]

        return await self.add(made, compose_it)

    def trial(self, plan_id: str, body: Document) -> Document:
        """What a record with this body would say; nothing is stored. Raises Problem."""
        reply, judged = self.plan(plan_id)
        with self.engine.connect() as connection:
            drew = takes.drawn(connection, judged.plan, body)
        document = self._composed((reply, judged), drew, datetime.now(UTC))
        return {name: part for name, part in document.items() if name != "recorded"}

    async def correct(self, preparation: str, correction: Document, client: str) -> tuple[Document, Entry]:
        """Add an entry that takes the place of the newest one, and revalue what was made from it."""

        def compose_it() -> list[Write]:
            before = self.standing(preparation)
            body = correction["record"]
            changed = changed_fields(before.document["recorded"], plain(body))
            if not changed:
                raise wrong([FieldError("/record", "changes nothing")])
            reply, judged = self.plan(before.plan_id)
            with self.engine.connect() as connection:
                drew = takes.drawn(connection, judged.plan, body, "/record")
                self._no_circle(preparation, drew.body)
                standing = self.standardisation(before.document)
                document = self._composed((reply, judged), drew, before.made_at, standing, at="/record")
                events, told = takes.writes(connection, drew, preparation, before.plan_id, client, before.document)
            document |= {"entry_by": correction["by"], "why": correction["reason"], "changed": changed}
            document |= {"from_shelf": told} if told else {}
            writes = entry_writes(client, "corrected", preparation, before.entries + 1, before.plan_id, document)
            more, _ = self.revalue(preparation, document, client, f"{preparation} was corrected")
            return [*writes, *events, *more]

        return await self.add(preparation, compose_it)

    async def add(self, preparation: str, compose_it: Callable[[], list[Write]]) -> tuple[Document, Entry]:
        """Compose writes and commit them together; the preparation as it then stands, and the first audit entry."""
        async with self.lock:
            writes = await run_in_threadpool(compose_it)
            entry = await self.writer.write(*writes)
        standing = await run_in_threadpool(self.standing, preparation)
        return standing.published(), entry

    def composed_again(
        self, planned: Planned, before: Standing, standing: Document | None, known: dict[str, SourceValue] | None = None
    ) -> Document:
        """The newest entry worked out again from what was recorded, under another standardisation or other sources."""
        body = read_body(before.document["recorded"], PreparationBody)
        with self.engine.connect() as connection:
            drew = takes.drawn(connection, planned[1].plan, body)
        document = self._composed(planned, drew, before.made_at, standing, known)
        return document | {k: before.document[k] for k in ("from_shelf",) if k in before.document}

    def _composed(self, planned: Planned, drew: takes.Drawn, made_at: datetime, standing: Document | None = None,
                  known: dict[str, SourceValue] | None = None, at: str = "") -> Document:  # fmt: skip
        reply, judged = planned
        sources = self.sources(drew.body, known)
        document = compose(judged.plan, reply, drew.body, sources, judged.plan.lab, made_at, standing, at)
        document["recorded"] = plain(drew.recorded)
        takes.marked(document, drew)
        return document

    def plan(self, plan_id: str) -> Planned:
        """The stored reply and its plan, worked out anew under its own policy by the rules in force. Raises Problem."""
        found = self.plans.get(plan_id)
        if found is None:
            raise Problem("no-such-plan", "No stored plan has this id.")
        reply: Document = orjson.loads(found[1])
        request_of(reply)
        bench = self.bench_of(reply["versions"].get("policy"))
        judged = consider(requests.read(reply["request"]), bench)  # type: ignore[arg-type]
        if judged.outcome not in ("planned", "held"):
            raise Problem("nothing-to-make", "Under the rules now in force this plan no longer holds: ask again.")
        recordable(judged.plan)
        return reply, judged

    def standing(self, preparation: str, connection: Connection | None = None) -> Standing:
        """The preparation as it stands. Raises Problem where none has this id."""
        query = _ENTRIES.where(preparations.c.id == preparation)
        if connection is None:
            with self.engine.connect() as opened:
                rows = opened.execute(query).all()
        else:
            rows = connection.execute(query).all()
        if not rows:
            raise Problem("no-such-preparation", "No preparation has this id.")
        return Standing(rows[0].id, rows[0].plan_id, orjson.loads(rows[-1].document), tuple(rows))

    def plan_of(self, preparation: str) -> str | None:
        """The plan a preparation was made from, or None."""
        query = select(preparations.c.plan_id).where(preparations.c.id == preparation).limit(1)
        with self.engine.connect() as connection:
            return connection.execute(query).scalar()

    def page(self, before: int | None, limit: int, only: str | None = None) -> tuple[list[Document], int | None]:
        """The newest ``limit`` preparations before that place, one line each, and where the next page starts; with ``only``,
        those made from what that client asked for."""
        query = _FIRST.limit(limit + 1)
        if only is not None:
            query = query.join(plans, plans.c.id == preparations.c.plan_id).where(plans.c.client == only)
        if before is not None:
            query = query.where(preparations.c.seq < before)
        with self.engine.connect() as connection:
            rows = connection.execute(query).all()
            lines = [line(self.standing(r.id, connection)) for r in rows[:limit]]
        return lines, rows[limit - 1].seq if len(rows) > limit else None

    def sources(self, body: Document, known: dict[str, SourceValue] | None = None) -> dict[str, SourceValue]:
        """The preparations the body takes from, as they stand; those that cannot be used are left out."""
        found = {}
        for used in body["used"]:
            source = read_id(used["source"]) if "source" in used else None
            if source is None:
                continue
            value = (known or {}).get(source) or self._value(source)
            if value is not None:
                found[source] = value
        return found

    def standardisation(self, document: Document) -> Document | None:
        """The standardisation the strength of a stored document rests on."""
        if "standardised" not in document:
            return None
        with self.engine.connect() as connection:
            row = connection.execute(_STANDING.where(standardisations.c.id == document["standardised"]["id"])).one()
        found: Document = orjson.loads(row.document)
        return found

    def revalue(self, changed: str, document: Document, client: str, why: str) -> tuple[list[Write], list[Document]]:
        """New entries of everything made from ``changed``, whose newest document is now ``document``, each down the line.

        Also gives ``[{"id", "was", "now"}]``, with ``not_revalued`` where the plan no longer holds.
        """
        known = {changed: source_value(changed, document)}
        writes: list[Write] = []
        told: list[Document] = []
        waiting = [changed]
        while waiting:
            source = waiting.pop(0)
            for below in self.made_from(source):
                standing = self.standing(below)
                values = {k: v for k, v in known.items() if v is not None}
                try:
                    titrated = self.standardisation(standing.document)
                    new = self.composed_again(self.plan(standing.plan_id), standing, titrated, values)
                except Problem as problem:
                    told.append({"id": below, "not_revalued": problem.detail})
                    continue
                if all(new.get(key) == standing.document.get(key) for key in ("made", "use_by", "cautions")):
                    continue
                new |= {"entry_by": "service", "why": why}
                writes += entry_writes(client, "revalued", below, standing.entries + 1, standing.plan_id, new)
                told.append({"id": below, "was": said(standing.document), "now": said(new)})
                known[below] = source_value(below, new)
                waiting.append(below)
        return writes, told

    def made_from(self, source: str) -> list[str]:
        """The preparations whose newest entry takes from ``source``, in the order they were made."""
        query = select(preparation_uses.c.preparation_id).where(preparation_uses.c.source_id == source)
        with self.engine.connect() as connection:
            candidates = dict.fromkeys(connection.execute(query.order_by(preparation_uses.c.seq)).scalars())
            standing = [self.standing(one, connection) for one in candidates]
        return [
            s.id for s in standing
            if any(u.get("source") == source for u in s.document["used"])
        ]  # fmt: skip

    def _no_circle(self, preparation: str, body: Document) -> None:
        below, waiting = set(), [preparation]
        while waiting:
            more = [one for one in self.made_from(waiting.pop()) if one not in below]
            below.update(more)
            waiting += more
        for place, used in enumerate(body["used"]):
            if read_id(used.get("source", "")) in {preparation, *below}:
                raise wrong([FieldError(f"/record/used/{place}/source", "was itself made from this preparation")])

    def _value(self, preparation: str) -> SourceValue | None:
        try:
            return source_value(preparation, self.standing(preparation).document)
        except Problem:
            return None
