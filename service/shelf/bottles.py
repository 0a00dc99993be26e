"""Bottles as they stand, worked out from their rows and events. Reading only."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

import orjson
from sqlalchemy import Connection, Row, select

from grammar import read
from grammar.request import Named, Prepare
from service.people.clock import now
from service.planner.matching import form_name, forms_of, matches
from service.problems import FieldError, Problem
from service.records.bodies import wrong
from service.store.tables_shelf import shelf_events, shelf_items

Document = dict[str, Any]
_EVENTS = select(shelf_events).order_by(shelf_events.c.seq)


@dataclass(frozen=True, slots=True)
class Standing:
    """One bottle: its row, its events (oldest first), what is left, and what of that is reserved, by event number.

    ``reserved_for``: the plan each reservation was made for, as it was typed, where one was named.
    """

    row: Row[Any]
    events: tuple[Row[Any], ...]
    document: Document
    left: Decimal
    reserved: dict[int, Decimal]
    reserved_for: dict[int, str]

    @property
    def free(self) -> Decimal:
        """What is left and not reserved, in the bottle's unit."""
        return self.left - sum(self.reserved.values(), Decimal(0))

    def state(self, today: date) -> tuple[str, str | None]:
        """Its state and why it has it."""
        gone = withdrawal(self.events)
        if gone is not None:
            return "withdrawn", gone
        held = quarantine(self.events)
        if held is not None:
            return "quarantined", held
        if self.left == 0:
            return "used up", None
        if self.row.expiry is not None and self.row.expiry < today.isoformat():
            return "expired", f"its last day was {self.row.expiry}"
        return "in use", None

    def published(self) -> Document:
        """The bottle as clients get it."""
        state, why = self.state(now().date())
        found = {"id": self.row.id, "at": self.row.at, **self.document, "left": plainly(self.left),
                 "free": plainly(self.free), "state": state}  # fmt: skip
        if why is not None:
            found["why"] = why
        if self.reserved:
            found["reservations"] = [{"number": n, "amount": plainly(much)} for n, much in self.reserved.items()]
        return {**found, "history": [_event(event) for event in self.events]}


def quarantine(events: tuple[Row[Any], ...]) -> str | None:
    """Why something is quarantined, from its events; None when it is not."""
    why: str | None = None
    for event in events:
        if event.kind == "quarantine":
            why = orjson.loads(event.document)["reason"]
        elif event.kind == "clear":
            why = None
    return why


def withdrawal(events: tuple[Row[Any], ...]) -> str | None:
    """Why something was withdrawn, from its events; None when it was not. A withdrawal is for good."""
    return next((str(orjson.loads(e.document)["reason"]) for e in events if e.kind == "withdraw"), None)


def events_of(connection: Connection, subject: str) -> tuple[Row[Any], ...]:
    """The events of a bottle or preparation, oldest first."""
    return tuple(connection.execute(_EVENTS.where(shelf_events.c.subject_id == subject)).all())


def standing(connection: Connection, bottle: str) -> Standing:
    """The bottle as it stands. Raises Problem where there is none."""
    row = connection.execute(select(shelf_items).where(shelf_items.c.id == bottle)).one_or_none()
    if row is None:
        raise Problem("no-such-bottle", "Nothing on the shelf has this id.")
    return of_row(connection, row)


def of_row(connection: Connection, row: Row[Any]) -> Standing:
    """The bottle of that row as it stands."""
    events = events_of(connection, row.id)
    document: Document = orjson.loads(row.document)
    left = Decimal(document["amount"])
    reserved: dict[int, Decimal] = {}
    reserved_for: dict[int, str] = {}
    for event in events:
        told = orjson.loads(event.document)
        if event.kind == "reserve":
            reserved[event.seq] = Decimal(event.amount)
            if "plan" in told:
                reserved_for[event.seq] = told["plan"]
            continue
        reserved.pop(told.get("reservation", 0), None)
        if event.kind in ("take", "hand-out"):
            left -= Decimal(event.amount)
        elif event.kind == "give-back":
            left += Decimal(event.amount)
    return Standing(row, events, document, left, reserved, reserved_for)


def drawn_for(events: tuple[Row[Any], ...]) -> dict[str, Decimal]:
    """What was taken for each preparation, less what was given back; those with nothing left are not listed."""
    found: dict[str, Decimal] = {}
    for event in events:
        if event.preparation_id is not None:
            amount = Decimal(event.amount) * (-1 if event.kind == "give-back" else 1)
            found[event.preparation_id] = found.get(event.preparation_id, Decimal(0)) + amount
    return {one: amount for one, amount in found.items() if amount}


def enough(found: Standing, amount: Decimal, own: Decimal = Decimal(0)) -> None:
    """Raises Problem where ``amount`` is more than is free; ``own`` is reserved for the one who takes it."""
    free, unit = found.free + own, found.document["unit"]
    if amount > free:
        raise Problem("not-enough-left", f"{plainly(free)} {unit} left and not reserved, {plainly(amount)} {unit} needed.")


def refuse(connection: Connection, preparation: str) -> None:
    """Raises Problem where a preparation is quarantined or withdrawn."""
    events = events_of(connection, preparation)
    for state, why in (("withdrawn", withdrawal(events)), ("quarantined", quarantine(events))):
        if why is not None:
            raise Problem("bottle-not-usable", f"{preparation} is {state}: {why}.")


def fresh(row: Document, at: str) -> Standing:
    """A bottle that is just put up, from the row that is written."""
    document: Document = orjson.loads(row["document"])
    known: Any = SimpleNamespace(id=row["id"], at=at, expiry=row["expiry"])
    return Standing(known, (), document, Decimal(document["amount"]), {}, {})


def usable(found: Standing) -> None:
    """Raises Problem where the bottle must not be used today."""
    state, why = found.state(now().date())
    if state != "in use":
        raise Problem("bottle-not-usable", f"{found.row.id} ({found.document['name']}) is {state}"
                      + (f": {why}." if why else "."))  # fmt: skip


def named(words: str, pointer: str) -> tuple[str, str, str]:
    """Slug, form and full name of what stands on a bottle. Raises Problem unless it is one form of one substance."""
    request = read(f"100 mL of 0.1 M {words}")
    if not isinstance(request, Prepare) or len(request.components) != 1:
        raise wrong([FieldError(pointer, "is not read as one substance: write the name and the form on the bottle")])
    solute = request.components[0].solute
    pairs = forms_of(matches(solute), solute.water)
    if not pairs:
        raise wrong([FieldError(pointer, "names no substance of the tables in that form")])
    if len(pairs) > 1:
        raise wrong([FieldError(pointer, "may be several forms: write the one on the bottle",
                                tuple(form_name(*pair) for pair in pairs))])  # fmt: skip
    kind, form = pairs[0]
    return kind.slug, form.label, form_name(kind, form)


def slug_of(name: str) -> str:
    """The slug of the one substance of that name; a product that is none keeps its name."""
    slugs = {match.substance.slug for match in matches(Named(name=name))}
    return slugs.pop() if len(slugs) == 1 else name


def plainly(value: Decimal) -> str:
    """The number without an exponent."""
    return format(value, "f")


def _event(event: Row[Any]) -> Document:
    told = orjson.loads(event.document)
    return {"number": event.seq, "at": event.at, "kind": event.kind, **told}
