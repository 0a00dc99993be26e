"""The record of one preparation as a document. Pure: the plan, what was sent in, the sources and the time go in."""

from datetime import datetime
from typing import Any

from grammar.request import Prepare
from rules.plan import Amount, DraftPlan
from rules.tables.glassware import Glass, plastic_ware, tolerance
from rules.tables.lab import Lab
from service.planner.figures import show
from service.problems import FieldError, Problem
from service.records import made as making
from service.records.bodies import plain, wrong
from service.records.failures import FAILURES
from service.records.strength import Filling, Strength, strengths
from service.records.used import Sources, Used, read_used
from service.reply import versions
from service.ware_reply import amount_document

Document = dict[str, Any]

def compose(plan: DraftPlan, reply: Document, body: Document, sources: Sources, lab: Lab, made_at: datetime,
            standing: Document | None = None, at: str = "") -> Document:  # fmt: skip
    """The record: everything but its ids, times and chain.

    ``reply`` is the plan's stored reply, ``body`` a PreparationBody, ``sources`` the preparations it names, ``made_at``
    when it was first recorded, ``standing`` the accepted standardisation of it, ``at`` the pointer of the body.
    Raises Problem naming fields that do not fit the plan.
    """
    used = read_used(plan, lab, body, sources, at)
    fillings = _fillings(plan, body, at)
    outcome = body.get("outcome", "made")
    document: Document = {
        "read_as": reply["read_as"],
        "status": "made" if outcome == "made" else "failed",
        "recorded": plain(body),
        "used": [_used(u, sum(v.amount for v in used if v.number == u.number)) for u in used],
    }
    cautions = _cautions(plan, reply, used)
    if outcome != "made":
        reason, advice = FAILURES[outcome]
        document["failed"] = {
            "name": making.name_of(plan),
            "reason": reason,
            "discard": [{"stream": w.stream, "advice": w.advice} for w in plan.waste],
            "restart": f"{advice} Begin again from the same plan and record it as a new preparation.",
        }
    else:
        found, made = _made(plan, reply, body, (used, fillings), lab)
        ratio = found[0].ratio if found and found[0].item is plan.main else 1.0
        if standing is not None:
            ratio = making.standardised(plan, made, standing)
            document["standardised"] = {
                "id": standing["id"],
                "on": standing["at"][:10],
                "due": standing["next_due"]["date"],
            }
        else:
            cautions += _about(found)
        kept = making.keeping(plan, made, ratio)
        document["made"] = made
        document["use_by"] = making.use_by(made_at.date(), kept, source_ends(used))
    assumptions = _assumptions(plan, body, used) if outcome == "made" and standing is None else []
    if cautions:
        document["cautions"] = cautions
    if assumptions:
        document["assumptions"] = assumptions
    document["versions"] = versions(plan.policy)
    return document


def _made(plan: DraftPlan, reply: Document, body: Document, what: tuple[list[Used], list[Filling]],
          lab: Lab) -> tuple[list[Strength], Document]:  # fmt: skip
    used, fillings = what
    degrees = body.get("temperature_degC")
    found = strengths(plan, lab, used, fillings, None if degrees is None else float(degrees))
    return found, making.describe(plan, fillings, used, found, reply["plan"]["product"])


def source_ends(used: list[Used]) -> list[tuple[str, str | None]]:
    """The name and last day of each preparation something was taken from."""
    return [(f"{u.source.name} {u.source.id}", u.source.use_by) for u in used if u.source is not None]


def _fillings(plan: DraftPlan, body: Document, at: str) -> list[Filling]:
    if "vessels" not in body:
        return [Filling(b.vessel.glass, b.volume_mL) for b in plan.batches]
    errors: list[FieldError] = []
    found = []
    for place, vessel in enumerate(body["vessels"]):
        glass = _glass(vessel)
        if glass is None:
            errors.append(
                FieldError(
                    f"{at}/vessels/{place}/nominal_mL", "is no size of that kind of vessel with a known tolerance"
                )
            )
            continue
        found.append(Filling(glass, float(vessel.get("filled_mL", vessel["nominal_mL"]))))
    if errors:
        raise wrong(errors)
    return found


def _glass(vessel: Document) -> Glass | None:
    kind, size = vessel.get("kind", "volumetric-flask"), float(vessel["nominal_mL"])
    if kind.startswith("plastic-"):
        return plastic_ware().get((kind.removeprefix("plastic-"), size))
    return tolerance(kind, size, vessel.get("glass_class", "A"))


def _used(used: Used, whole: float) -> Document:
    measure = used.measure
    found: Document = {
        "measure": used.number,
        "what": measure.what,
        "amount": amount_document(Amount(used.amount, used.unit, _shown(used))),
        "planned": amount_document(measure.amount),
        "readings": list(used.as_typed),
        "unit": used.typed_unit,
    }
    if used.balance is not None:
        found["using"] = f"balance {used.balance.name.split()[0]}, {used.balance.readability_g:g} g"
    elif used.ware is not None:
        found["using"] = f"{used.ware.nominal_mL:g} mL {used.ware.words}"
    comparable = used.unit == measure.amount.unit and used.purity is None and used.source is None
    if measure.low is not None and measure.high is not None and comparable:
        found["in_window"] = measure.low.value <= whole <= measure.high.value
    if used.lot:
        found["lot"] = used.lot
    if used.purity is not None:
        found["assay_pct"] = 100 * used.purity
    if used.source is not None:
        found["source"] = used.source.id
    return found


def _shown(used: Used) -> str:
    if len(used.as_typed) == 1:
        return f"{used.as_typed[0]} {used.typed_unit}"
    return show(used.amount, used.unit, 5)


def _cautions(plan: DraftPlan, reply: Document, used: list[Used]) -> list[str]:
    found = []
    if reply["outcome"] == "held":
        found.append("The plan is held: label and sheet are printed only once it is approved.")
    for one in used:
        balance = one.balance
        if balance is not None and max(one.readings) > balance.capacity_g:
            found.append(f"{one.as_typed[0]} {one.typed_unit} is more than balance {balance.name.split()[0]} carries.")
        if one.source is not None and not one.source.true:
            found.append(f"The strength of {one.source.name} {one.source.id} is nominal: so is what is made from it.")
    if len(plan.ingredients) == 1 and plan.route is not None and plan.route.dilutions:
        found.append("The dilutions after the stock are taken as planned.")
    return found


def _about(found: list[Strength]) -> list[str]:
    return [
        f"{s.made.display} is {abs(100 * (s.ratio - 1)):.0f} % away from the {s.nominal.display} that was planned and checked: "
        "look for a slip in the reading; if it is right, ask for a plan at the strength made before it is used."
        for s in found
        if abs(s.ratio - 1) > making.FAR_OFF
    ]


def _assumptions(plan: DraftPlan, body: Document, used: list[Used]) -> list[str]:
    found = []
    for one in used:
        item = one.measure.ingredient
        if item is None or one.purity is not None or item.kind in ("stock", "concentrated"):
            continue
        as_planned = "as in the request" if item.purity_stated else "no assay given"
        found.append(f"{one.measure.what}: taken as {100 * item.purity:g} % ({as_planned}).")
    if "vessels" not in body and plan.batches:
        found.append("Made up in the planned vessel, to its mark.")
    if "temperature_degC" not in body and plan.batches:
        found.append("Made up at 20 degC.")
    return found


def request_of(reply: Document) -> None:
    """Raises Problem where the reply is nothing that can be made and recorded."""
    if reply["outcome"] not in ("planned", "held"):
        raise Problem("nothing-to-make", f"The reply's outcome is {reply['outcome']}: there is no plan to follow.")


def recordable(plan: DraftPlan) -> None:
    """Raises Problem where a plan has no one solution to record."""
    if not isinstance(plan.request, Prepare) or plan.series is not None or plan.main is None:
        raise Problem(
            "nothing-to-make", "A set of solutions is recorded one by one: ask for each strength, and record that plan."
        )
