"""Permanganate stands and is filtered before it is standardised."""

from collections.abc import Iterable

from rules.handled import in_group
from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite


@only_where("group permanganate")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    found = in_group(plan, "permanganate")
    return found and ([item for item in found if item.kind == "solid"] or None)


def check(_plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    for item in found:
        yield Hit(f"Fresh {item.substance.name} solution reacts with traces in the water and throws down manganese dioxide, "
                  "which makes more of itself: its strength is not steady on the first day.")


RULE = Rule(
    id="permanganate-stand-and-filter",
    group="light_and_air",
    title="Permanganate has stood before it is standardised",
    severity="caution",
    applies_to="permanganate solutions made from the solid",
    citation=(cite("practice", "common practice: stand or boil, filter through glass, then standardise"),),
    rationale="A titre taken on the day it was made is already wrong the day after.",
    remedy=("Let it stand for a week or keep it near boiling for half an hour, filter through sintered glass, "
            "then standardise."),
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.02 M potassium permanganate", "fired",
                "Fresh potassium permanganate solution reacts with traces in the water and throws down manganese "
                "dioxide, which makes more of itself: its strength is not steady on the first day."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
