"""The ware of a plan as it stands in the reply: the route with its dilutions, the vessel with its fillings."""

from typing import Any

from rules.plan import Amount, DraftPlan, Route, RouteOption
from service.planner.figures import amount, show
from service.planner.vessels import vessel_words

Document = dict[str, Any]


def amount_document(value: Amount) -> Document:
    """``{"value", "unit", "display"}``: unrounded value in the fixed unit, display as the asker reads it."""
    return {"value": value.value, "unit": value.unit, "display": value.display}


def _route_option(option: RouteOption) -> Document:
    return {
        "kind": option.kind,
        "summary": option.summary,
        "u_rel": option.u_rel,
        "transfers": option.transfers,
        "waste": amount_document(amount(option.waste_mL, "mL")),
        "minutes": option.minutes,
    }


def route_document(route: Route) -> Document:
    """How it is made, why, through which stock and dilutions, and what else was considered."""
    found: Document = {
        "kind": route.kind,
        "why": route.why,
        "alternatives": [_route_option(o) for o in route.alternatives],
    }
    if route.stock_flask is not None:
        found["stock_vessel"] = vessel_words(route.stock_flask)
    if route.dilutions:
        found["dilutions"] = [
            {
                "take": amount_document(amount(step.take_mL, "mL")),
                "using": vessel_words(step.pipette),
                "into": vessel_words(step.flask),
                "label": step.label_to + (f", {show(step.to_mol_L, 'mol/L')}" if step.to_mol_L else ""),
            }
            for step in route.dilutions
        ]
    return found


def vessel_document(plan: DraftPlan) -> Document:
    """Where it is made up; of several fillings, each with its share of what is measured."""
    batches, glass = plan.batches, plan.batches[0].vessel.glass
    found: Document = {
        "kind": glass.kind,
        "words": vessel_words(glass),
        "nominal": amount_document(amount(glass.nominal_mL, "mL")),
        "count": len(batches),
        "class": glass.glass_class,
        "tolerance": amount_document(amount(glass.tolerance_mL, "mL", 2)),
        "standard": glass.standard,
    }
    if len(batches) > 1 and plan.total_mL:
        measured = [m.amount for m in plan.measures if m.role != "solvent"]
        found["portions"] = [
            {
                "vessel": vessel_words(b.vessel.glass),
                "volume": amount_document(amount(b.volume_mL, "mL")),
                "amounts": [amount_document(amount(m.value * b.volume_mL / plan.total_mL, m.unit)) for m in measured],
            }
            for b in batches
        ]
    return {key: value for key, value in found.items() if value != ""}
