"""Says so when the data held cannot tell whether the strength dissolves."""

from collections.abc import Iterable

from rules.dissolving import Saturation, as_strength, dissolves, judged
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
        if judged(plan, item, held) != "uncertain":
            continue
        low, high = as_strength(item, held.low_g_L), as_strength(item, held.high_g_L)
        between = f"somewhere from {low} to {high}" if low != high else f"near {low}"
        why = (
            "the only value held is a remembered one"
            if held.kind == "unverified"
            else f"the value held is for {held.temperature_degC:g} degC"
            if held.away_K > 2
            else "no density of the saturated solution is held"
        )
        yield Hit(
            f"Saturated {item.substance.name} lies {between}, and the strength asked for is too near to say that it dissolves: {why}.",
            cites=held.cites,
        )


RULE = Rule(
    id="solubility-uncertain",
    group="solubility",
    title="The data tell that it dissolves",
    severity="caution",
    applies_to="solids and liquids whose solubility in water is held",
    citation=(cite("practice", "bounds: solution as dense as water, solute taking no room"),),
    rationale="A solubility per 100 g of water gives a strength only through a density.",
    remedy="Try it in a test tube first (a tenth of the volume), or ask for a weaker solution.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "100 mL of 0.4 M potassium permanganate",
            "fired",
            "Saturated potassium permanganate lies somewhere from 0.38 mol/L to 0.40 mol/L, and the strength "
            "asked for is too near to say that it dissolves: no density of the saturated solution is held.",
        ),
        Example("500 mL of 1 M NaCl", "passed"),
        Example("0.1 M HCl, 500 mL", "not_applicable"),
    ),
)
