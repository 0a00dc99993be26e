"""Oxidising waste and organic waste go into separate bottles."""

from collections.abc import Iterable

from rules.handled import in_group, names, solvent
from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.groups import groups_of
from rules.tables.load import cite


@only_where("group oxidiser", "group oxidising-acid")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    return in_group(plan, "oxidiser", "oxidising-acid")


def check(plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    beside = [item.substance for item in plan.ingredients if item not in found and "organic" in groups_of(item.substance.slug)]
    other = solvent(plan)
    if other is not None and "organic" in groups_of(other.slug):
        beside.append(other)
    name = names(item.substance for item in found)
    if beside:
        yield Hit(f"The leftover holds an oxidiser ({name}) and an organic substance ({names(beside)}) in one bottle, which can burst it.",
                  "Do not collect it in a closed bottle; ask the safety officer how it is destroyed.", severity="hold")
    else:
        yield Hit(f"Leftover {name} is an oxidiser: it never goes into a bottle that holds or has held organic waste.")


RULE = Rule(
    id="oxidiser-waste-apart",
    group="waste",
    title="No oxidiser is left over",
    severity="caution",
    applies_to="oxidisers in solution",
    citation=(cite("prudent-practices-2011", "Incompatible chemicals table"),),
    rationale="Nitric acid in a solvent bottle has burst bottles hours after they were closed.",
    remedy="Use a waste bottle of its own, vented, labelled oxidiser.",
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.02 M potassium permanganate", "fired",
                "Leftover potassium permanganate is an oxidiser: it never goes into a bottle that holds or has held "
                "organic waste."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
