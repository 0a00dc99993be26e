"""Says that a molal solution is made by weighing the water, not by filling to a mark."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.signs import only_where
from rules.tables.load import cite


@only_where("unit mol/kg", "unit mmol/kg")
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
        if strength is None:
            continue
        said = f"{strength.value} {strength.unit} counts kilograms of water, not litres of solution"
        if plan.total_mL and item.moles:
            yield Hit(f"{said}: made up to a volume it is {say(1000 * item.moles / plan.total_mL, 'mol/L')}.")
        else:
            yield Hit(f"{said}.", "Weigh the water; use no mark.")


RULE = Rule(
    id="molal-weighs-the-water",
    group="units",
    title="The strength counts the volume of the solution",
    severity="note",
    applies_to="molal strengths",
    citation=(cite("practice", "definition of molality: amount of solute over mass of solvent"),),
    rationale="Filled to a mark it would be a molar solution.",
    remedy="Put the molality on the label; the mass here was worked out through the density.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.5 molal sodium chloride, 500 g",
            "fired",
            "0.5 mol/kg counts kilograms of water, not litres of solution.",
        ),
        Example(
            "0.5 molal sodium chloride, 500 mL",
            "fired",
            "0.5 mol/kg counts kilograms of water, not litres of solution: made up to a volume it is 0.495 mol/L.",
        ),
        Example("0.5 M sodium chloride, 500 mL", "not_applicable"),
    ),
)
