"""Solutions that air oxidises are made shortly before use."""

from collections.abc import Iterable

from rules.handled import Trait, told, with_trait
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite


@only_where("air-oxidised")
def gather(plan: DraftPlan) -> list[Trait] | None:
    return with_trait(plan, "air-oxidised")


def check(_plan: DraftPlan, found: list[Trait]) -> Iterable[Hit]:
    for item, trait in found:
        yield Hit(f"Air oxidises {item.substance.name} in solution: {told(trait)}.", cites=(trait.cite,))


RULE = Rule(
    id="air-oxidised",
    group="light_and_air",
    title="Air is kept out",
    severity="caution",
    applies_to="substances that air oxidises in solution",
    citation=(cite("practice", "common practice"),),
    rationale="The oxygen dissolved in the water alone takes part of a weak solution.",
    remedy=("Make it shortly before use with boiled and cooled water, fill the bottle to the top, and "
            "standardise before accurate work."),
    gather=gather,
    check=check,
    examples=(
        Example("250 mL of 0.1 M iron(II) sulfate heptahydrate", "fired",
                "Air oxidises iron(II) sulfate in solution: oxidised by air to iron(III); acidify with dilute "
                "sulfuric acid, make the same day."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
