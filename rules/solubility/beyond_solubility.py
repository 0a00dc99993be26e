"""Refuses a strength above what dissolves in water at the temperature of making up."""

from collections.abc import Iterable

from rules.dissolving import Saturation, as_strength, dissolves, judged, wanted_grams
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
        if judged(plan, item, held) != "beyond":
            continue
        wanted = wanted_grams(plan, item)
        asked = as_strength(item, wanted) if wanted is not None else f"{item.target_mass_fraction_pct:.3g} % w/w"
        most = as_strength(item, held.low_g_L) if wanted is not None else f"{100 * held.fraction:.2g} % w/w"
        safe = as_strength(item, 0.8 * held.low_g_L) if wanted is not None else f"{80 * held.fraction:.2g} % w/w"
        yield Hit(
            f"{asked} is beyond what dissolves: a saturated solution of {item.substance.name} in water at {held.temperature_degC:g} degC "
            f"holds about {most}.",
            f"Ask for at most {safe}, or for a saturated solution, shaken with the solid and filtered.",
            cites=held.cites,
        )


RULE = Rule(
    id="beyond-solubility",
    group="solubility",
    title="The strength is below saturation",
    severity="stop",
    applies_to="solids and liquids whose solubility in water is held",
    citation=(cite("crc-98", "Aqueous solubility of inorganic compounds at various temperatures"),),
    rationale="What does not dissolve lies at the bottom, and the label is wrong.",
    remedy="Ask for a weaker solution.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "20 M NaCl, 500 mL",
            "fired",
            "20 mol/L is beyond what dissolves: a saturated solution of sodium chloride in water at 20 degC "
            "holds about 5.4 mol/L.",
        ),
        Example(
            "1 L 0.1 M calcium hydroxide",
            "fired",
            "0.10 mol/L is beyond what dissolves: a saturated solution of calcium hydroxide in water at 20 "
            "degC holds about 0.023 mol/L.",
        ),
        Example("1 M NaCl, 500 mL", "passed"),
        Example("0.1 M HCl, 500 mL", "not_applicable"),
    ),
)
