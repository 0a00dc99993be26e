"""Says when a solubility rests on weak or disputed data."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import figures
from rules.tables.load import cite
from rules.tables.solubility import Solubility

WEAK = {"single-source": "one source only", "disputed": "sources that differ", "unverified": "a value that was not verified"}
# A strength under a fifth of the solubility does not depend on how well that is known.
FAR_BELOW = 0.2
Found = list[tuple[Ingredient, Solubility]]


def gather(plan: DraftPlan) -> Found | None:
    return [(item, item.solubility) for item in plan.ingredients if isinstance(item.solubility, Solubility)] or None


def check(_plan: DraftPlan, found: Found) -> Iterable[Hit]:
    for item, held in found:
        mass = item.substance.molar_mass
        wanted = item.target_mol_L * mass if item.target_mol_L is not None and mass else item.target_g_L
        far_below = wanted is not None and wanted < FAR_BELOW * 10 * held.g_anhydrous_per_100g_water
        if held.kind in WEAK and not far_below:
            yield Hit(f"The solubility of {item.substance.name}, {figures(held.g_anhydrous_per_100g_water)} g in 100 g of water at "
                      f"{held.temperature_degC:g} degC, rests on {WEAK[held.kind]}.", cites=held.cites)


RULE = Rule(
    id="value-poorly-supported",
    group="measurement",
    title="The solubility relied on is well supported",
    severity="note",
    applies_to="solutes with a held solubility",
    citation=(cite("practice", "common practice: the support of a value is named"),),
    rationale="A limit that nobody checked twice is no limit to work close to.",
    remedy="Try a small amount first when the strength is anywhere near it.",
    gather=gather,
    check=check,
    examples=(
        Example("100 mL of 1.5 M aluminium nitrate nonahydrate", "fired",
                "The solubility of aluminium nitrate, 66.4 g in 100 g of water at 20 degC, rests on sources that "
                "differ."),
        Example("1 L of 0.1 M sodium chloride", "passed"),
        Example("make some acid", "not_applicable"),
    ),
)
