"""Refuses a strength above what dissolves in water at the temperature of making up."""

from collections.abc import Iterable

from rules.dissolving import Saturation, dissolves, in_words, judged
from rules.plan import DraftPlan, Ingredient
from rules.reading import IN_ACID, behaves, dissolved_in_acid
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
        asked, most, safe = in_words(plan, item, held)
        said = (
            f"{asked} is beyond what dissolves: a saturated solution of {item.substance.name} in water "
            f"at {held.temperature_degC:g} degC holds {most}."
        )
        acid = dissolved_in_acid(plan, item)
        if acid:
            yield Hit(f"{said} It is brought into solution with acid: {acid}.", IN_ACID, "caution", cites=held.cites)
        elif _ph_decides(plan, item):
            yield Hit(
                f"{said} That is the substance as it is; at the pH asked for, more may dissolve.",
                "Add the acid or alkali that sets the pH while dissolving, and try a tenth of it first.",
                "caution",
                cites=held.cites,
            )
        else:
            remedy = f"Ask for at most {safe}, or for a saturated solution, shaken with the solid and filtered."
            yield Hit(said, remedy, cites=held.cites)


def _ph_decides(plan: DraftPlan, item: Ingredient) -> bool:
    """Whether a pH is asked for and the substance is a weak acid or base, so that the pH decides how much dissolves."""
    if getattr(plan.request, "ph", None) is None:
        return False
    slow = behaves(item, "slow-to-dissolve")
    return item.substance.family in ("acid", "base", "buffer", "organic") or (slow is not None and "pH" in slow.detail)


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
        Example(
            "0.5 M disodium EDTA dihydrate 500 mL pH 8.0",
            "fired",
            "0.50 mol/L is beyond what dissolves: a saturated solution of ethylenediaminetetraacetic acid "
            "disodium salt (disodium EDTA) in water at 20 degC holds 0.25 mol/L to 0.27 mol/L. That is the "
            "substance as it is; at the pH asked for, more may dissolve.",
        ),
        Example("1 M NaCl, 500 mL", "passed"),
        Example("0.1 M HCl, 500 mL", "not_applicable"),
    ),
)
