"""A mixture without a formula is not given a strength in moles."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import MOLAR
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.load import cite


@only_where("no molar mass")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    return [item for item in plan.ingredients if item.substance.molar_mass is None] or None


def check(_plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    for item in found:
        strength = item.component.strength
        source = item.component.source
        if source is not None and source.strength is not None and source.strength.unit in MOLAR:
            continue  # Only the ratio to a stock of the same terms counts.
        if strength is not None and strength.unit in MOLAR:
            yield Hit(
                f"{sentence(item.substance.name)} has no single formula and so no molar mass: "
                f"{strength.value} {strength.unit} of it means nothing that can be weighed."
            )


RULE = Rule(
    id="mixture-has-no-molarity",
    group="identity",
    title="The strength suits a substance without a formula",
    severity="stop",
    applies_to="mixtures, polymers and commercial reagents",
    citation=(cite("practice", "common practice: such solutions are made as mass per volume"),),
    rationale="Any molar mass put in would be invented.",
    remedy="Ask for a mass per volume, for example '1 % w/v'.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.1 M starch 100 mL",
            "fired",
            "Starch (soluble) has no single formula and so no molar mass: 0.1 mol/L of it means nothing that "
            "can be weighed.",
        ),
        Example("1 % w/v starch 100 mL", "passed"),
        Example("0.1 M potassium iodide 100 mL", "not_applicable"),
    ),
)
