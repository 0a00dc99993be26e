"""What a record draws from the bottles it names: checked against the plan's lines, and written with the record.

The body of the record names bottles; what stands on them (lot, assay, density, the preparation that is in one) is filled in
where the body does not state it. A correction that changes an amount adds a take or a give-back of the difference.
"""

from dataclasses import dataclass
from decimal import Decimal
from math import isclose
from typing import Any

from sqlalchemy import Connection

from rules.plan import DraftPlan, Ingredient, Measure
from service.people.clock import now
from service.planner.matching import form_name
from service.plans.ids import read_id
from service.problems import FieldError, Problem
from service.records.bodies import wrong
from service.records.used import density_of, in_grams_or_mL
from service.shelf import bottles
from service.shelf.bottles import Standing, plainly
from service.shelf.events import event_write
from service.store.writer import Write

Document = dict[str, Any]
#: A volume worked out through a density, or a mass, keeps this many figures.
_FIGURES = 6
_SAME_STRENGTH = 1e-6


@dataclass(frozen=True, slots=True)
class Drawn:
    """The body as sent, and with what the bottles say; the bottles by id, and what is drawn from each in its own unit."""

    recorded: Document
    body: Document
    bottles: dict[str, Standing]
    amounts: dict[str, Decimal]


def drawn(connection: Connection, plan: DraftPlan, body: Document, at: str = "") -> Drawn:
    """Read what a record draws. Raises Problem where a bottle is none, or does not hold what its line is."""
    errors: list[FieldError] = []
    found: dict[str, Standing] = {}
    amounts: dict[str, Decimal] = {}
    lines = []
    for place, item in enumerate(body["used"]):
        if "bottle" not in item:
            lines.append(item)
            continue
        where = f"{at}/used/{place}"
        bottle = _bottle(connection, item["bottle"], found)
        number = item.get("measure", 1)
        if bottle is None:
            errors.append(FieldError(f"{where}/bottle", "is no bottle of the shelf; GET /v1/shelf lists them"))
        elif number > len(plan.measures):
            lines.append(item)  # the record itself is told which numbers there are
        else:
            measure = plan.measures[number - 1]
            _fits(number, measure, bottle)
            line = _filled(measure, item, bottle, where, errors)
            lines.append(line)
            amount = _in_its_unit(measure, line, bottle, where, errors)
            amounts[bottle.row.id] = amounts.get(bottle.row.id, Decimal(0)) + amount
    if errors:
        raise wrong(errors)
    return Drawn(body, {**body, "used": lines}, found, amounts)


def marked(document: Document, drew: Drawn) -> None:
    """Put the bottles into the lines of a composed record, and end its life no later than that of a bottle."""
    for line, item in zip(document["used"], drew.body["used"], strict=True):
        if "bottle" in item:
            line["bottle"] = read_id(item["bottle"])
    if "use_by" not in document:
        return
    for bottle in drew.bottles.values():
        last, held = bottle.row.expiry, document["use_by"].get("date")
        if last is not None and (held is None or last < held):
            name = bottle.document["name"]
            document["use_by"] = {"date": last, "basis": f"no later than {name} {bottle.row.id}, which it was made from"}


def writes(
    connection: Connection, drew: Drawn, preparation: str, plan_id: str, client: str, before: Document | None = None
) -> tuple[list[Write], list[Document]]:
    """The events that go with a record, and what its reply says of the shelf.

    ``before``: the document that is corrected. Raises Problem where a bottle must not be used, or holds too little.
    """
    known = {line["bottle"] for line in before["used"] if "bottle" in line} if before is not None else set()
    found = dict(drew.bottles)
    for one in known:
        found.setdefault(one, bottles.standing(connection, one))
    events: list[Write] = []
    told: list[Document] = []
    for one, bottle in found.items():
        amount = drew.amounts.get(one, Decimal(0))
        more = amount - bottles.drawn_for(bottle.events).get(preparation, Decimal(0))
        if one in drew.bottles and one not in known:
            _usable(connection, bottle, preparation if before is not None else None)
        own = _reserved(bottle, plan_id)
        if more > 0:
            bottles.enough(bottle, more, sum((bottle.reserved[n] for n in own), Decimal(0)))
        events += _moves(client, drew.body["by"], one, more, preparation, plan_id, own)
        told.append({"bottle": one, "name": bottle.document["name"], "place": bottle.document["place"],
                     "taken": plainly(amount), "left": plainly(bottle.left - more), "unit": bottle.document["unit"]})  # fmt: skip
    return events, told


def _bottle(connection: Connection, typed: str, found: dict[str, Standing]) -> Standing | None:
    wanted = read_id(typed)
    if wanted is not None and wanted not in found:
        try:
            found[wanted] = bottles.standing(connection, wanted)
        except Problem:
            return None
    return None if wanted is None else found[wanted]


def _fits(number: int, measure: Measure, bottle: Standing) -> None:
    """Raises Problem unless the bottle holds what that line of the plan is."""
    fault = _fault(measure.ingredient, bottle)
    if fault:
        raise Problem("bottle-not-as-planned", f"Line {number} of the plan is {measure.what}; bottle {bottle.row.id} "
                      f"({bottle.document['name']}) {fault}.")  # fmt: skip


def _fault(item: Ingredient | None, bottle: Standing) -> str:
    """Why the bottle is not what the line takes; empty where it is."""
    if item is None:
        return "is for nothing that is added to make up a volume"
    held, kind = bottle.document, bottle.document["kind"]
    if bottle.row.substance not in (item.substance.slug, item.substance.name):
        return "holds another substance"
    if kind == "made" or (kind == "solution" and item.kind == "stock"):
        if item.kind != "stock":
            return f"is a solution, and the plan takes the {item.kind}"
        return "" if kind == "made" else _other_strength(item, held["strength"])
    if item.kind == "stock":
        return "is no solution, and the plan dilutes one"
    if kind == "solution":
        if item.kind == "concentrated" and held["strength"]["unit"] == "% w/w":
            return ""
        return f"holds {_words(held['strength'])}, and the plan counts no solution of that strength"
    if held["form"] != item.form.label:
        return f"holds another form than {form_name(item.substance, item.form)}"
    return ""


def _other_strength(item: Ingredient, strength: Document) -> str:
    if item.stock_basis is not None or item.basis_g_per_mol:
        return "does not say what its strength counts, and the plan counts an element or ion of it"
    scale = Decimal(10) if strength["unit"] == "% w/v" else Decimal(1)
    planned = {"mol/L": item.stock_mol_L, "g/L": item.stock_g_L, "% w/v": item.stock_g_L, "% w/w": item.stock_mass_pct}[
        strength["unit"]
    ]
    if planned is not None and isclose(float(Decimal(strength["value"]) * scale), planned, rel_tol=_SAME_STRENGTH):
        return ""
    return f"holds {_words(strength)}, and the plan counts on a stock of another strength"


def _words(strength: Document) -> str:
    return f"{strength['value']} {strength['unit']}"


def _filled(measure: Measure, item: Document, bottle: Standing, at: str, errors: list[FieldError]) -> Document:
    """The line with what stands on the bottle, where the line does not state it."""
    held, ingredient = bottle.document, measure.ingredient
    assert ingredient is not None
    line = dict(item)
    if held["kind"] == "made":
        inside = held["preparation"]
        if "source" in item and read_id(item["source"]) != inside:
            errors.append(FieldError(f"{at}/source", "is not what is in that bottle", (inside,)))
        return line | {"source": inside}
    if "lot" in held:
        line.setdefault("lot", held["lot"])
    assay = held.get("assay_pct")
    if held["kind"] == "solution" and ingredient.kind == "concentrated":
        assay = assay or held["strength"]["value"]
    counted = bool(ingredient.stock_mass_pct and ingredient.stock_density)
    if assay is not None and (ingredient.kind in ("solid", "liquid") or (ingredient.kind == "concentrated" and counted)):
        line.setdefault("assay", {"value": Decimal(assay)})
    if "density_g_mL" in held and (ingredient.kind != "concentrated" or "assay" in line):
        line.setdefault("density_g_mL", Decimal(held["density_g_mL"]))
    return line


def _in_its_unit(measure: Measure, line: Document, bottle: Standing, at: str, errors: list[FieldError]) -> Decimal:
    """What the line draws, in the unit the bottle is kept in."""
    unit, factor = in_grams_or_mL(line["unit"])
    amount = sum(line["readings"], Decimal(0)) * factor
    kept = bottle.document["unit"]
    if unit == kept:
        return amount
    on_it = bottle.document.get("density_g_mL")
    density = Decimal(on_it) if on_it else density_of(measure, line)
    if density is None:
        errors.append(FieldError(f"{at}/density_g_mL", f"is needed: the bottle is kept in {kept}, and {unit} was recorded"))
        return amount
    through = amount * Decimal(str(density)) if kept == "g" else amount / Decimal(str(density))
    return Decimal(f"{through:.{_FIGURES}g}")


def _usable(connection: Connection, bottle: Standing, corrected: str | None) -> None:
    """Raises Problem where the bottle must not be used.

    A correction says what was used in the past: from a bottle that is quarantined or withdrawn only once the preparation
    ``corrected`` is quarantined itself.
    """
    if corrected is None:
        bottles.usable(bottle)
        if "preparation" in bottle.document:
            bottles.refuse(connection, bottle.document["preparation"])
        return
    state, _ = bottle.state(now().date())
    if state in ("quarantined", "withdrawn") and not bottles.quarantine(bottles.events_of(connection, corrected)):
        raise Problem("bottle-not-usable", f"{bottle.row.id} ({bottle.document['name']}) is {state}: quarantine {corrected} "
                      "first, then correct its record.")  # fmt: skip


def _reserved(bottle: Standing, plan_id: str) -> list[int]:
    """The open reservations of the bottle for that plan."""
    return [number for number, plan in bottle.reserved_for.items() if number in bottle.reserved and read_id(plan) == plan_id]


def _moves(client: str, by: str, bottle: str, more: Decimal, preparation: str, plan_id: str, own: list[int]) -> list[Write]:
    if not more:
        return []
    told: Document = {"by": by, "amount": plainly(abs(more)), "plan": plan_id, "preparation": preparation}
    if more < 0:
        return [event_write(client, bottle, "give-back", told)]
    released = [event_write(client, bottle, "release", {"by": by, "plan": plan_id, "reservation": n}) for n in own[1:]]
    return [event_write(client, bottle, "take", told | ({"reservation": own[0]} if own else {})), *released]
