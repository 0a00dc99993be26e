"""The pick list: each thing to fetch once, added up over all preparations, and where it stands on the shelf."""

from decimal import Decimal
from typing import Any

from sqlalchemy import Connection, select

from service.people.clock import now
from service.planner.figures import amount, show
from service.problems import Problem
from service.shelf import bottles
from service.store.tables_shelf import shelf_items
from service.ware_reply import amount_document

Document = dict[str, Any]


def pick_list(preparations: list[Document]) -> list[Document]:
    """Totals per reagent over the preparations of the day, unrounded, by name; g and mL are never added to each other."""
    sums: dict[tuple[str, str], list[tuple[int, Document]]] = {}
    made_here: dict[str, int] = {}
    made = {one["n"] for one in preparations}
    for one in preparations:
        for measure in _fetched(one["measure"]):
            key = (measure["what"], measure["amount"]["unit"])
            sums.setdefault(key, []).append((one["n"], measure["amount"]))
        for taken in one.get("takes_from", ()):
            if taken["preparation"] in made:
                made_here[taken["what"]] = taken["preparation"]
    found = []
    for (what, unit), parts in sums.items():
        total = parts[0][1] if len(parts) == 1 else amount_document(amount(sum(one["value"] for _, one in parts), unit))
        line: Document = {"what": what, "amount": total, "preparations": list(dict.fromkeys(n for n, _ in parts))}
        if what in made_here:
            line["made_here"] = made_here[what]
        found.append(line)
    return sorted(found, key=lambda line: str(line["what"]).lower())


def _fetched(measures: list[Document]) -> list[Document]:
    """What is taken from the shelf: where a solid is weighed for a stock, the stock itself is made on the way."""
    weighed = any(m["role"] == "solute" for m in measures)
    return [m for m in measures if not (weighed and m["role"] == "stock") and m["role"] != "solvent"]


def with_places(lines: list[Document], connection: Connection) -> list[Document]:
    """The lines with the bottles of each thing that may be used today, and what is short; sorted by place."""
    found = []
    for line in lines:
        held = [] if "made_here" in line else _bottles(line["what"], connection)
        if held:
            line = {**line, "places": held, **_short(line["amount"], held)}
        found.append(line)
    return sorted(found, key=_by_place)


def _by_place(line: Document) -> tuple[bool, str, str]:
    """By place, what has none last."""
    places = line.get("places", [])
    return not places, places[0]["place"].lower() if places else "", line["what"].lower()


def _bottles(what: str, connection: Connection) -> list[Document]:
    """Bottles of exactly that substance and form, those that are used up soonest first; none where the name is no single one."""
    try:
        slug, label, _ = bottles.named(what, "")
    except Problem:
        return []
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


def _short(needed: Document, held: list[Document]) -> dict[str, str]:
    """What is missing, where every bottle is counted in the unit needed."""
    if any(bottle["unit"] != needed["unit"] for bottle in held):
        return {}
    free = float(sum(Decimal(bottle["free"]) for bottle in held))
    if free >= needed["value"]:
        return {}
    return {"short": f"{show(free, needed['unit'])} free, {needed['display']} needed"}
