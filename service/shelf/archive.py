"""The shelf in the store: bottles and events are only added, each with its audit entry in one transaction.

What is left is checked and taken under the lock of the bench record, so that two takes never take more than is there. Two
processes that take from one bottle at the same instant are not kept apart by it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

import orjson
from sqlalchemy import Executable
from starlette.concurrency import run_in_threadpool

from service.audit.chain import Entry, Event
from service.people.clock import now
from service.plans.ids import new_id, read_id
from service.problems import FieldError, Problem
from service.records.archive import Records
from service.records.bodies import plain, wrong
from service.shelf import bottles, family, listing, rows
from service.shelf.events import event_write, sorted_bytes
from service.store.tables_shelf import shelf_items
from service.store.writer import Write

Document = dict[str, Any]
Keep = Callable[[Document, Entry], Executable]  # the statement that keeps an answer, in the same transaction
_MOVES = ("take", "hand-out", "reserve")
# What each kind of event must and may carry beside who and what.
_CARRIES: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "take": (("amount", "unit"), ("reason", "reservation", "plan")),
    "hand-out": (("amount", "unit", "to"), ("reason", "reservation", "plan")),
    "reserve": (("amount", "unit"), ("reason", "plan")),
    "release": (("reservation",), ("reason",)),
    "quarantine": (("reason",), ()),
    "clear": (("reason",), ()),
    "withdraw": (("reason",), ()),
}


@dataclass(frozen=True, slots=True)
class Shelf:
    """The shelf of one database."""

    records: Records

    async def add(self, body: Document, client: str, keep: Keep | None = None) -> tuple[Document, Entry]:
        """Put a bottle on the shelf. Raises Problem, StoreBusyError, StoreDownError."""
        bottle = new_id()

        def compose_it() -> list[Write]:
            write = self.put_up(bottle, body, client)[0]
            if keep is None:
                return [write]
            return [write.followed_by(lambda entry: keep(bottles.fresh(write.row, entry.at).published(), entry))]

        entry = await self._write(compose_it)
        return await run_in_threadpool(self.get, bottle), entry

    async def happen(
        self, subject: str, body: Document, client: str, keep: Keep | None = None
    ) -> tuple[Document, Entry]:
        """Add an event to a bottle; a preparation can be quarantined, cleared and withdrawn too."""
        reached: list[Document] = []

        def compose_it() -> list[Write]:
            self._carries(body)
            told = {k: v for k, v in plain(body).items() if k not in ("kind", "unit")}
            if body["kind"] in ("quarantine", "clear"):
                family.known(self.records, subject)
                below = family.below(self.records, subject) if body["kind"] == "quarantine" else []
                reached.extend(below)
                marked = [r["id"] for r in below if r["kind"] != "hand-out"]
                because = told | {"reason": f"made from {subject}, quarantined: {told['reason']}"[:200]}
                return [event_write(client, subject, body["kind"], told),
                        *(event_write(client, one, "quarantine", because) for one in dict.fromkeys(marked))]  # fmt: skip
            self._may(subject, body)
            return [event_write(client, subject, body["kind"], told)]

        def told() -> Document:
            below = [r | {"quarantined": True} for r in reached]
            return {"id": subject, "event": body["kind"], "reached": below}

        def kept() -> list[Write]:
            first, *more = compose_it()
            return [first if keep is None else first.followed_by(lambda entry: keep(told(), entry)), *more]

        entry = await self._write(kept)
        return told(), entry

    def get(self, bottle: str) -> Document:
        """The bottle as it stands. Raises Problem where there is none."""
        with self.records.engine.connect() as connection:
            return bottles.standing(connection, bottle).published()

    def page(self, wanted: listing.Wanted, before: int | None, limit: int) -> tuple[list[Document], int | None]:
        """The newest ``limit`` bottles before that place, and where the next page starts."""
        found, following = listing.page(self.records.engine, wanted, before, limit)
        return [bottle.published() for bottle in found], following

    def family(self, subject: str) -> Document:
        """Everything below a bottle or preparation. Raises Problem where there is none."""
        family.known(self.records, subject)
        return {"id": subject, "below": family.below(self.records, subject)}

    def refuse_quarantined(self, body: Document) -> None:
        """Raises Problem where a record of a preparation names a source that is quarantined or withdrawn."""
        for used in body["used"]:
            source = read_id(used.get("source", ""))
            if source is not None:
                self.refuse(source)

    def refuse(self, preparation: str) -> None:
        """Raises Problem where a preparation is quarantined or withdrawn."""
        with self.records.engine.connect() as connection:
            bottles.refuse(connection, preparation)

    async def _write(self, compose_it: Callable[[], list[Write]]) -> Entry:
        async with self.records.lock:
            writes = await run_in_threadpool(compose_it)
            return await self.records.writer.write(*writes)

    def put_up(
        self, bottle: str, body: Document, client: str, named: tuple[str, str, str] | None = None
    ) -> tuple[Write, Document]:
        """The write of a new bottle, and the document it stores; ``named`` where its name was read already. Raises Problem."""
        errors = [FieldError(f"/{k}", "is no day of the calendar") for k in ("opened", "expiry") if _no_day(body, k)]
        if ("name" in body) == ("preparation" in body):
            errors.append(FieldError("", "must hold either name or preparation"))
        errors += [FieldError(f"/{k}", "stands in the record of the preparation: leave it out")
                   for k in ("strength", "form") if k in body and "preparation" in body]  # fmt: skip
        if errors:
            raise wrong(errors)
        document = plain({k: v for k, v in body.items() if k != "preparation"})
        made = read_id(body["preparation"]) if "preparation" in body else None
        if "preparation" in body:
            document |= self._made(made or "", body)
        else:
            slug, form, name = named or _named(body)
            kind = "solution" if "strength" in body else "reagent"
            document |= {"kind": kind, "substance": slug, "form": form, "name": name}
        told = {k: document[k] for k in ("substance", "name", "amount", "unit", "place", "lot", "by") if k in document}
        row = {
            "id": bottle, "substance": document["substance"], "lot": document.get("lot"), "place": document["place"],
            "expiry": document.get("expiry"), "preparation_id": made, "document": orjson.dumps(document),
        }  # fmt: skip
        return Write(Event(client, "shelf.added", bottle, sorted_bytes(told)), shelf_items, row), document

    def _made(self, preparation: str, body: Document) -> Document:
        """What the record of a preparation says of the bottle it is in; no later last day than the record's."""
        record = self.records.standing(preparation).document
        made = record.get("made", {})
        if "substance" not in made:
            raise wrong([FieldError("/preparation", "failed, or holds several substances: it cannot be put up")])
        self.refuse(preparation)
        days = [day for day in (body.get("expiry"), record["use_by"].get("date")) if day]
        found = {"kind": "made", "substance": bottles.slug_of(made["substance"]), "name": made["name"], "preparation": preparation}
        return found | ({"expiry": min(days)} if days else {})

    def _carries(self, body: Document) -> None:
        must, may = _CARRIES[body["kind"]]
        errors = [FieldError(f"/{k}", f"is needed for {body['kind']}") for k in must if k not in body]
        errors += [
            FieldError(f"/{k}", f"has no place in {body['kind']}")
            for k in body if k not in (*must, *may, "by", "kind")
        ]  # fmt: skip
        if errors:
            raise wrong(errors)

    def _may(self, bottle: str, body: Document) -> None:
        with self.records.engine.connect() as connection:
            if body["kind"] == "withdraw" and self.records.plan_of(bottle) is not None:
                if bottles.withdrawal(bottles.events_of(connection, bottle)) is not None:
                    raise Problem("bottle-not-usable", "It was withdrawn already.")
                return
            found = bottles.standing(connection, bottle)
        state, _ = found.state(now().date())
        if body["kind"] == "withdraw" and state == "withdrawn":
            raise Problem("bottle-not-usable", "It was withdrawn already.")
        if "reservation" in body and body["reservation"] not in found.reserved:
            raise wrong([FieldError("/reservation", "is no open reservation of this bottle")])
        if body["kind"] not in _MOVES:
            return
        if body["unit"] != found.document["unit"]:
            raise wrong([FieldError("/unit", "is not the unit the bottle is kept in", (found.document["unit"],))])
        bottles.usable(found)
        bottles.enough(found, body["amount"], found.reserved.get(body.get("reservation", 0), Decimal(0)))


def _named(body: Document) -> tuple[str, str, str]:
    if "form" not in body:
        return bottles.named(body["name"], "/name")
    try:
        return rows.form_on(body["name"], body["form"])
    except rows.WrongCellsError as fault:
        pointers = {"substance": "/name", "form": "/form"}
        raise wrong([FieldError(pointers[column], message) for column, message in fault.errors]) from None


def _no_day(body: Document, key: str) -> bool:
    try:
        date.fromisoformat(body.get(key, "2000-01-01"))
    except ValueError:
        return True
    return False
