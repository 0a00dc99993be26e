"""A bottle as a line of a table: which columns there are, what a bottle fills them with, and a line as a bottle. Pure."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any

from rules.tables.substances import Form, Substance, by_cas, by_formula, by_name, substance
from service.planner.matching import form_name
from service.plans.ids import read_id
from service.problems import FieldError, Problem
from service.records.bodies import read_body
from service.schemas.shelf import BottleBody, StandingCells
from service.shelf import bottles

Document = dict[str, Any]
Named = tuple[str, str, str]
COLUMNS = (
    "id", "substance", "form", "strength", "strength_unit", "preparation", "lot", "assay_pct", "density_g_mL", "supplier",
    "amount", "unit", "left", "reserved", "opened", "expiry", "place", "state", "reason", "by",
)  # fmt: skip
MUST = ("substance", "amount", "unit", "place")
TOLD = ("left", "reserved", "state", "reason")  # worked out from events: of a bottle on the shelf they cannot be set
_AS_SENT = (
    "lot",
    "supplier",
    "assay_pct",
    "density_g_mL",
    "amount",
    "unit",
    "opened",
    "expiry",
    "place",
    "preparation",
)
_DAYS = ("opened", "expiry")
_NUMBERS = ("strength", "assay_pct", "density_g_mL", "amount", "left", "reserved")
_COLUMN_OF = {"name": "substance", "strength/value": "strength", "strength/unit": "strength_unit"}


class WrongCellsError(ValueError):
    """What is wrong with a line: ``errors`` are pairs of column and message."""

    def __init__(self, *errors: tuple[str, str]) -> None:
        super().__init__("; ".join(f"{column}: {message}" for column, message in errors))
        self.errors = errors


@dataclass(frozen=True, slots=True)
class Line:
    """A line as a bottle: its ``body``, its name (none for a preparation), what is left of it, and its state."""

    body: Document
    named: Named | None
    left: Decimal
    reserved: Decimal
    state: str | None
    reason: str | None


def filled(bottle: bottles.Standing, today: date) -> dict[str, str]:
    """The cells of a bottle, every column of ``COLUMNS``."""
    document = bottle.document
    state, why = bottle.state(today)
    kept_back = sum(bottle.reserved.values(), Decimal(0))
    made = document["kind"] == "made"
    strength = document.get("strength", {})
    cells = {
        **{name: str(document.get(name, "")) for name in (*_AS_SENT, "by", "form")},
        "id": bottle.row.id,
        "substance": document["name"] if made else substance(document["substance"]).name,
        "strength": str(strength.get("value", "")),
        "strength_unit": strength.get("unit", ""),
        "left": bottles.plainly(bottle.left),
        "reserved": bottles.plainly(kept_back) if kept_back else "",
        "state": state,
        "reason": (why or "") if state in ("quarantined", "withdrawn") else "",
    }
    return {name: cells[name] for name in COLUMNS}


def read_line(cells: dict[str, str], by: str | None) -> Line:
    """A line as a bottle that is to be put up. Raises WrongCellsError naming every cell that cannot be used."""
    cells = {name: cell.strip() for name, cell in cells.items()}
    body: Document = {name: cells[name] for name in _AS_SENT if cells.get(name)}
    said_by = cells.get("by") or by
    if said_by:
        body["by"] = said_by
    strength = {name: cells[c] for name, c in (("value", "strength"), ("unit", "strength_unit")) if cells.get(c)}
    if strength:
        body["strength"] = strength
    errors: list[tuple[str, str]] = []
    named: Named | None = None
    if "preparation" not in body:
        try:
            named = form_on(cells.get("substance", ""), cells.get("form", ""))
            body["name"] = named[2]
        except WrongCellsError as fault:
            errors += fault.errors
            body["name"] = "?"
    standing = {name: cells[name] for name in TOLD if cells.get(name)}
    found, faults = _shaped(body, BottleBody, cells)
    told, more = _shaped(standing, StandingCells, cells)
    errors += [*faults, *more, *_days(cells)]
    if not errors:
        errors += _amounts(found, told) + _states(told)
    if errors:
        raise WrongCellsError(*dict.fromkeys(errors))
    left: Decimal = told["left"] if "left" in told else found["amount"]
    return Line(found, named, left, told.get("reserved", Decimal(0)), told.get("state"), told.get("reason"))


def form_on(words: str, form: str) -> Named:
    """Slug, form and full name of the substance and form on a bottle. Raises WrongCellsError."""
    if not words:
        raise WrongCellsError(("substance", "is empty: write the name on the bottle"))
    if form:
        kinds = _kinds(words)
        pairs: list[tuple[Substance, Form]] = [
            (kind, held) for kind in kinds if (held := kind.form(form.lower())) is not None
        ]
        exact = [pair for pair in pairs if pair[0].name == words]
        if len(exact or pairs) == 1:
            kind, held = (exact or pairs)[0]
            return kind.slug, held.label, form_name(kind, held)
        if pairs:
            names = "; ".join(kind.name for kind, _ in pairs)
            raise WrongCellsError(("substance", f"may be several substances: write one of {names}"))
        if kinds:
            labels = dict.fromkeys(held.label for kind in kinds for held in kind.forms)
            raise WrongCellsError(("form", f"is none that is known of it: {', '.join(labels)}"))
    try:
        found = bottles.named(words, "/name")
    except Problem as problem:
        raise WrongCellsError(*(("substance", _told(error)) for error in problem.errors)) from None
    if form and form.lower() != found[1]:
        raise WrongCellsError(("form", f"is not that of the name in the column substance, {found[1]}"))
    return found


def differing(cells: dict[str, str], bottle: bottles.Standing, today: date) -> tuple[list[tuple[str, str]], list[str]]:
    """What a line says otherwise than the bottle on the shelf: faults by column, and notes on what events alone change."""
    held = filled(bottle, today)
    cells = {name: cell.strip() for name, cell in cells.items()}
    faults = [
        (name, f"is {cells[name] or 'empty'}, but {held[name] or 'empty'} on the shelf: put that back, or take out "
               "the id to put up another bottle")
        for name in cells if name not in TOLD and not _same(name, cells[name], held[name])
    ]  # fmt: skip
    if faults and {column for column, _ in faults} <= {"substance", "form"} and bottle.document["kind"] != "made":
        try:
            if form_on(cells["substance"], cells.get("form", ""))[:2] == (bottle.document["substance"], held["form"]):
                faults = []
        except WrongCellsError:
            pass
    notes = [
        f"{name} is {held[name] or 'empty'} on the shelf and stays so, not {cells[name]}: an event of the bottle changes it"
        for name in TOLD if cells.get(name) and not _same(name, cells[name], held[name])
    ]  # fmt: skip
    return faults, notes


def _kinds(words: str) -> list[Substance]:
    try:
        return [substance(words)]
    except KeyError:
        found = by_name(words) or by_cas(words) or by_formula(words)
        return list({match.substance.slug: match.substance for match in found}.values())


def _shaped(body: Document, shape: Any, cells: dict[str, str]) -> tuple[Document, list[tuple[str, str]]]:
    try:
        return read_body(body, shape), []
    except Problem as problem:
        found = []
        for error in problem.errors:
            pointer = error.pointer.removeprefix("/")
            column = _COLUMN_OF.get(pointer, pointer)
            if column not in _DAYS and column != "name":
                found.append((column, _message(column, cells.get(column, ""), error)))
        return {}, found


def _message(column: str, cell: str, error: FieldError) -> str:
    if not cell:
        return "is empty" if column != "by" else "is empty: who puts it up, initials or staff id"
    if column in _NUMBERS and not _number(cell):
        return "is no number: write it with a decimal point and without its unit, such as 99.2"
    return _told(error)


def _told(error: FieldError) -> str:
    return error.message + (f": {'; '.join(error.allowed)}" if error.allowed else "")


def _days(cells: dict[str, str]) -> list[tuple[str, str]]:
    found = []
    for name in _DAYS:
        try:
            right = not cells.get(name) or date.fromisoformat(cells[name]).isoformat() == cells[name]
        except ValueError:
            right = False
        if not right:
            found.append((name, "is no day of the calendar: write it as year-month-day, such as 2031-06-30"))
    return found


def _amounts(body: Document, told: Document) -> list[tuple[str, str]]:
    left = told.get("left", body["amount"])
    if left > body["amount"]:
        return [("left", f"is more than the amount, {body['amount']} {body['unit']}")]
    if told.get("reserved", 0) > left:
        return [("reserved", f"is more than is left, {left} {body['unit']}")]
    return []


def _states(told: Document) -> list[tuple[str, str]]:
    marked = told.get("state") in ("quarantined", "withdrawn")
    if marked and "reason" not in told:
        return [("reason", f"is empty: why it is {told['state']}")]
    if "reason" in told and not marked:
        return [("reason", "has a place only where the state is quarantined or withdrawn")]
    return []


def _same(column: str, one: str, other: str) -> bool:
    if one == other:
        return True
    if column in ("id", "preparation"):
        return bool(one) and read_id(one) == other
    if column in _NUMBERS and _number(one) and _number(other):
        return Decimal(one) == Decimal(other)
    return (
        column == "reserved"
        and _number(one or "0")
        and _number(other or "0")
        and Decimal(one or 0) == Decimal(other or 0)
    )


def _number(cell: str) -> bool:
    try:
        return Decimal(cell).is_finite()
    except InvalidOperation:
        return False
