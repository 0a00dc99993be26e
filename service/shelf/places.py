"""Where things stand on the shelf: the bottles of a substance in one form that may be used today, and what is short."""

from decimal import Decimal
from typing import Any

from sqlalchemy import Connection, select

from service.people.clock import now
from service.planner.figures import show
from service.problems import Problem
from service.shelf import bottles
from service.store.tables_shelf import shelf_items

Document = dict[str, Any]


def with_places(lines: list[Document], connection: Connection) -> list[Document]:
    """The lines with the bottles of each thing that may be used today, and what is short; sorted by place."""
    found = []
    for line in lines:
        held = [] if "made_here" in line else bottles_of(line["what"], connection)
        if held:
            line = {**line, "places": held, **short(line["amount"], held)}
        found.append(line)
    return sorted(found, key=_by_place)


def _by_place(line: Document) -> tuple[bool, str, str]:
    """By place, what has none last."""
    places = line.get("places", [])
    return not places, places[0]["place"].lower() if places else "", line["what"].lower()


def bottles_of(what: str, connection: Connection) -> list[Document] | None:
    """Bottles of exactly that substance and form, those that are used up soonest first; None where the name is no single one."""
    try:
        slug, label, _ = bottles.named(what, "")
    except Problem:
        return None
    rows = connection.execute(
        select(shelf_items).where(shelf_items.c.substance == slug).order_by(shelf_items.c.seq)
    ).all()
    standing = [bottles.of_row(connection, row) for row in rows]
    today = now().date()
    usable = [s for s in standing if s.document.get("form") == label and "strength" not in s.document and s.free > 0
              and s.document["kind"] == "reagent" and s.state(today)[0] == "in use"]  # fmt: skip
    usable.sort(key=lambda s: (s.row.expiry or "9999", s.row.seq))
    return [
        {
            "bottle": s.row.id, "place": s.document["place"],
            **({"lot": s.document["lot"]} if "lot" in s.document else {}),
            "free": bottles.plainly(s.free), "unit": s.document["unit"],
        }
        for s in usable
    ]  # fmt: skip


def short(needed: Document, held: list[Document]) -> dict[str, str]:
    """What is missing, where every bottle is counted in the unit needed."""
    if not held or any(bottle["unit"] != needed["unit"] for bottle in held):
        return {}
    free = float(sum(Decimal(bottle["free"]) for bottle in held))
    if free >= needed["value"]:
        return {}
    return {"short": f"{show(free, needed['unit'])} free, {needed['display']} needed"}
