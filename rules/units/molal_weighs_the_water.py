"""Says that a molal solution is made by weighing the water, not by filling to a mark."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> list[Ingredient] | None:
    return [
        i
        for i in plan.ingredients
        if i.component.strength is not None and i.component.strength.unit in ("mol/kg", "mmol/kg")
    ] or None


def check(plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    if plan.opens:
        return
    for item in found:
        strength = item.component.strength
        if strength is not None:
            yield Hit(
                f"{strength.value} {strength.unit} counts kilograms of water, not litres of solution; the two "
                f"differ more the stronger it is."
            )


RULE = Rule(
    id="molal-weighs-the-water",
    group="units",
    title="The strength counts the volume of the solution",
    severity="note",
    applies_to="molal strengths",
    citation=(cite("practice", "definition of molality: amount of solute over mass of solvent"),),
    rationale="Filled to a mark it would be a molar solution.",
    remedy="Weigh the water; use no mark.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.5 molal sodium chloride, 500 g",
            "fired",
            "0.5 mol/kg counts kilograms of water, not litres of solution; the two differ more the stronger it is.",
        ),
        Example("0.5 M sodium chloride, 500 mL", "not_applicable"),
    ),
)
