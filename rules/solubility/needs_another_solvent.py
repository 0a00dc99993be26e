"""Says what a solid must be dissolved in when water alone will not do."""

from collections.abc import Iterable

from rules.dissolving import in_water
from rules.plan import DraftPlan, Ingredient
from rules.reading import behaves
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.behaviour import Behaviour
from rules.tables.load import cite


@only_where("dissolve-in")
def gather(plan: DraftPlan) -> list[tuple[Ingredient, Behaviour]] | None:
    return [
        (item, held) for item in plan.ingredients if item.kind == "solid" and (held := behaves(item, "dissolve-in"))
    ] or None


def check(plan: DraftPlan, found: list[tuple[Ingredient, Behaviour]]) -> Iterable[Hit]:
    for item, held in found:
        if in_water(plan):
            yield Hit(
                sentence(f"{item.substance.name} is dissolved in {held.detail}, not in water alone."),
                cites=(held.cite,),
            )


RULE = Rule(
    id="needs-another-solvent",
    group="solubility",
    title="The solvent suits the solid",
    severity="caution",
    applies_to="solids that water alone does not dissolve",
    citation=(cite("practice", "common practice"),),
    rationale="Iodine, many indicators and some organics hardly enter water.",
    remedy="Dissolve it in what is said first, then make up; write the solvent on the label.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.05 M iodine 500 mL",
            "fired",
            "Iodine is dissolved in potassium iodide solution, or ethanol, not in water alone.",
        ),
        Example("0.05 M potassium iodide 500 mL", "not_applicable"),
    ),
)
