"""Bottles from a table onto the shelf: every line is judged, and all are put up in one transaction or none."""

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from sqlalchemy import Connection, select

from service.people.clock import now
from service.plans.ids import new_id, read_id
from service.problems import Problem
from service.shelf import bottles, family, rows
from service.shelf.archive import Shelf
from service.shelf.events import event_write
from service.store.tables import plans, preparations
from service.store.tables_shelf import shelf_items
from service.store.writer import Write

Document = dict[str, Any]
_BEFORE = "taken before it was put into these records"


@dataclass(slots=True)
class Judged:
    """What the lines give: one document for each that can be used, what is wrong with the others, and the writes.

    ``fresh``: rows whose bottle gets a new id, which is none before it is stored.
    """

    found: list[Document] = field(default_factory=list)
    fresh: set[int] = field(default_factory=set)
    errors: list[Document] = field(default_factory=list)
    writes: list[Write] = field(default_factory=list)
    new: int = 0


def judge(shelf: Shelf, lines: list[tuple[int, dict[str, str]]], by: str | None, client: str) -> Judged:
    """Judge the lines of a table; nothing is stored. ``by``: who puts up the bottles whose line does not say."""
    judged = Judged()
    today, seen = now().date(), dict[str, int]()
    for number, cells in lines:
        typed = cells.get("id", "").strip()
        head = {"row": number, **({"ref": typed} if typed else {})}
        try:
            document, writes = _one(shelf, number, cells, by, client, seen, today)
        except rows.WrongCellsError as fault:
            judged.errors += [{**head, "column": column, "message": message} for column, message in fault.errors]
            continue
        judged.found.append({"row": number, **document})
        judged.writes += writes
        judged.new += bool(writes)
        if not typed:
            judged.fresh.add(number)
    return judged


def _one(shelf: Shelf, number: int, cells: dict[str, str], by: str | None, client: str, seen: dict[str, int],
         today: date) -> tuple[Document, list[Write]]:  # fmt: skip
    if "" in cells:
        raise rows.WrongCellsError(("", "has more cells than the header"))
    typed = cells.get("id", "").strip()
    bottle = read_id(typed) if typed else new_id()
    if bottle is None:
        raise rows.WrongCellsError(("id", "is no id of a bottle: leave it empty for a new one"))
    if seen.setdefault(bottle, number) != number:
        raise rows.WrongCellsError(("id", f"stands in row {seen[bottle]} already"))
    with shelf.records.engine.connect() as connection:
        row = connection.execute(select(shelf_items).where(shelf_items.c.id == bottle)).one_or_none()
        if row is not None:
            return _known(cells, bottles.of_row(connection, row), today), []
        if typed and _taken(connection, bottle):
            raise rows.WrongCellsError(("id", "is the id of something else here: leave it empty for a new bottle"))
    return _new(shelf, bottle, cells, by, client, today)


def _known(cells: dict[str, str], bottle: bottles.Standing, today: date) -> Document:
    faults, notes = rows.differing(cells, bottle, today)
    if faults:
        raise rows.WrongCellsError(*faults)
    document = {"bottle": bottle.row.id, **_shown(bottle.document), "left": bottles.plainly(bottle.left),
                "state": bottle.state(today)[0], "unchanged": True}  # fmt: skip
    return document | ({"notes": notes} if notes else {})


def _new(shelf: Shelf, bottle: str, cells: dict[str, str], by: str | None, client: str,
         today: date) -> tuple[Document, list[Write]]:  # fmt: skip
    line = rows.read_line(cells, by)
    try:
        write, document = shelf.put_up(bottle, line.body, client, line.named)
    except Problem as problem:
        faults = [(e.pointer.removeprefix("/"), e.message) for e in problem.errors]
        raise rows.WrongCellsError(*(faults or [("preparation", problem.detail)])) from None
    said = cells.get("substance", "").strip()
    if line.named is None and said not in ("", document["name"]):
        raise rows.WrongCellsError(
            ("substance", f"is {document['name']} by the record of the preparation: leave it empty")
        )
    if line.state == "quarantined" and "lot" in document:
        with shelf.records.engine.connect() as connection:
            made = family.of_lot(shelf.records, connection, document["lot"], document["substance"])
        if made:
            raise rows.WrongCellsError(("state", f"its lot was used in {', '.join(made)}: put it up without a state, then "
                                                 "quarantine it by an event, which reaches them"))  # fmt: skip
    who = line.body["by"]
    events: list[tuple[str, Document]] = []
    if line.left < line.body["amount"]:
        events.append(("take", {"amount": bottles.plainly(line.body["amount"] - line.left), "reason": _BEFORE}))
    if line.reserved:
        events.append(
            ("reserve", {"amount": bottles.plainly(line.reserved), "reason": _BEFORE.replace("taken", "reserved")})
        )
    if line.state in ("quarantined", "withdrawn"):
        events.append(({"quarantined": "quarantine", "withdrawn": "withdraw"}[line.state], {"reason": line.reason}))
    writes = [write, *(event_write(client, bottle, kind, {"by": who, **told}) for kind, told in events)]
    state = _state(line, document.get("expiry"), today)
    notes = (
        [] if line.state in (None, state) else [f"state is {state}, from what is left and the expiry, not {line.state}"]
    )
    if not cells.get("id", "").strip():
        notes += _alike(shelf, document)
    found = {"bottle": bottle, **_shown(document), "left": bottles.plainly(line.left), "state": state}
    return found | ({"notes": notes} if notes else {}), writes


def _state(line: rows.Line, expiry: str | None, today: date) -> str:
    if line.state in ("quarantined", "withdrawn"):
        return line.state
    if line.left == 0:
        return "used up"
    return "expired" if expiry is not None and expiry < today.isoformat() else "in use"


def _alike(shelf: Shelf, document: Document) -> list[str]:
    """A word on bottles of the same lot in the same place: the same file may have been sent before."""
    if "lot" not in document:
        return []
    query = select(shelf_items.c.id).where(
        shelf_items.c.substance == document["substance"], shelf_items.c.lot == document["lot"],
        shelf_items.c.place == document["place"],
    )  # fmt: skip
    with shelf.records.engine.connect() as connection:
        held = list(connection.execute(query.order_by(shelf_items.c.seq).limit(3)).scalars())
    return [f"the same lot stands in this place already, as {', '.join(held)}: this is one more"] if held else []


def _taken(connection: Connection, identity: str) -> bool:
    return any(
        connection.execute(select(table.c.seq).where(table.c.id == identity).limit(1)).first() is not None
        for table in (plans, preparations)
    )


def _shown(document: Document) -> Document:
    return {key: document[key] for key in ("name", "strength", "lot", "amount", "unit", "place") if key in document}
