"""Warns of a strength so near to saturation that it crystallises in a cool room."""

from collections.abc import Iterable

from rules.dissolving import NEAR_SHARE, Saturation, as_strength, dissolves, judged, loads
from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite

Held = list[tuple[Ingredient, Saturation]]


def gather(plan: DraftPlan) -> Held | None:
    return [
        (item, held)
        for item in plan.ingredients
        if item.kind in ("solid", "liquid") and (held := dissolves(item, plan))
    ] or None


def check(plan: DraftPlan, found: Held) -> Iterable[Hit]:
    for item, held in found:
        load = loads(plan, item, held)
        if load is not None and judged(plan, item, held) == "near":
            yield Hit(
                f"The solution is about {100 * load[1]:.0f} % of saturated ({as_strength(item, held.low_g_L)} "
                f"at {held.temperature_degC:g} degC{', a value that is itself in doubt' if held.margin > 1 else ''}), "
                f"above {100 * NEAR_SHARE / held.margin:.0f} %: it dissolves slowly and may crystallise when cold.",
                cites=held.cites,
            )


RULE = Rule(
    id="near-solubility",
    group="solubility",
    title="The strength is well below saturation",
    severity="caution",
    applies_to="solids and liquids whose solubility in water is held",
    citation=(cite("practice", "common practice: keep stocks under four fifths of saturation"),),
    rationale="Crystals in the bottle or at its neck take solute out of the solution.",
    remedy="Warm to dissolve, keep it at room temperature, look for crystals before use; or make it weaker.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "500 mL of 5.0 M NaCl",
            "fired",
            "The solution is about 92 % of saturated (5.4 mol/L at 20 degC), above 80 %: it dissolves slowly "
            "and may crystallise when cold.",
        ),
        Example("500 mL of 1 M NaCl", "passed"),
        Example("0.1 M HCl, 500 mL", "not_applicable"),
    ),
)
