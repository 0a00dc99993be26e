"""Solids that react with water are not simply dissolved in it."""

from collections.abc import Iterable

from rules.handled import in_group, solvent
from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.load import cite


@only_where("group water-reactive")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    found = in_group(plan, "water-reactive")
    return found and ([item for item in found if item.kind in ("solid", "liquid") and item.form.water == "0"] or None)


def check(plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    if solvent(plan) is None:
        for item in found:
            yield Hit(f"{sentence(item.substance.name)} reacts with water, so what stands in the flask afterwards is no longer "
                      f"{item.substance.name}.")


RULE = Rule(
    id="reacts-with-water",
    group="incompatibility",
    title="The solute stands water",
    severity="hold",
    applies_to="anhydrous chlorides, hydrides, peroxides and anhydrides in water",
    citation=(cite("practice", "common practice: never water onto the solid"),),
    rationale="Heat, acid mist or hydrogen come off at once, and the name on the label is false.",
    remedy=("Name the substance that is wanted in solution, or have the method looked at; add the solid to cold "
            "water in small portions, never water to the solid."),
    gather=gather,
    check=check,
    examples=(
        Example("100 mL of 0.1 M anhydrous aluminium chloride", "fired",
                "Aluminium chloride reacts with water, so what stands in the flask afterwards is no longer aluminium "
                "chloride."),
        Example("100 mL of 0.1 M aluminium chloride hexahydrate", "not_applicable"),
    ),
)
