"""What the shelf holds of a stored plan: where each thing stands, what is short, what is made already, which form is there.

The plan itself is not changed by it: the same request gives the same plan, whatever stands on the shelf.
"""

from collections.abc import Callable
from decimal import Decimal
from math import isclose
from typing import Any

from sqlalchemy import Connection, select

from service.days.picking import fetched
from service.people.clock import now
from service.shelf import bottles
from service.shelf.places import bottles_of, short
from service.store.tables_shelf import shelf_items

Document = dict[str, Any]
#: A solution that is there serves where its strength is within this share of the one asked for (house default).
SAME_STRENGTH = 0.005


def of_plan(connection: Connection, reply: Document, made: Callable[[str], Document]) -> Document:
    """``made`` gives what is known of a preparation that stands in a bottle. Expired, quarantined and withdrawn are left out."""
    found: Document = {"plan": reply["id"]}
    if "plan" in reply:
        found["fetch"] = [_line(connection, measure) for measure in fetched(reply["plan"]["measure"])]
        found["ready"] = _ready(connection, reply["plan"]["product"], made)
    question = reply.get("question", {})
    if question.get("about") == "form":
        there = [(option, bottles_of(option["label"], connection)) for option in question["options"]]
        found["forms"] = [{"label": option["label"], "places": held or []} for option, held in there]
    return found


def _line(connection: Connection, measure: Document) -> Document:
    line = {"what": measure["what"], "amount": measure["amount"]}
    held = bottles_of(measure["what"], connection)
    if held is None:
        return line
    return {**line, "places": held, **short(measure["amount"], held)}


def _ready(connection: Connection, product: Document, made: Callable[[str], Document]) -> list[Document]:
    """Bottles of the solution itself, in the strength asked for, those that are used up soonest first."""
    wanted, volume = product.get("concentration"), product.get("volume")
    if wanted is None or wanted["unit"] != "mol/L":
        return []
    slug, today = bottles.slug_of(product["substance"]), now().date()
    rows = connection.execute(select(shelf_items).where(shelf_items.c.substance == slug)).all()
    found = []
    for one in (bottles.of_row(connection, row) for row in rows):
        document = one.document
        if document["kind"] == "reagent" or one.free <= 0 or document["unit"] != "mL" or one.state(today)[0] != "in use":
            continue
        strength = document.get("strength") or _strength(made(document["preparation"]))
        if strength is None or strength["unit"] != "mol/L":
            continue
        if not isclose(float(strength["value"]), wanted["value"], rel_tol=SAME_STRENGTH):
            continue
        line = {"bottle": one.row.id, "place": document["place"], "name": document["name"],
                "strength": f"{strength['value']} mol/L" if "display" not in strength else strength["display"],
                "free": bottles.plainly(one.free), "unit": "mL"}  # fmt: skip
        if one.row.expiry is not None:
            line["expiry"] = one.row.expiry
        if volume is not None and volume["unit"] == "mL":
            line["enough"] = one.free >= Decimal(str(volume["value"]))
        found.append(line)
    return sorted(found, key=lambda line: (str(line.get("expiry", "9999")), str(line["bottle"])))


def _strength(record: Document) -> Document | None:
    """The strength as made; none of what is only nominal."""
    solution: Document = record.get("made", {})
    return None if "nominal_until_standardised" in solution else solution.get("concentration")
