"""Alkaline solutions take up carbon dioxide from the air."""

from collections.abc import Iterable

from rules.handled import Trait, told, with_trait
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.load import cite


@only_where("co2-absorbing")
def gather(plan: DraftPlan) -> list[Trait] | None:
    return with_trait(plan, "co2-absorbing")


def check(_plan: DraftPlan, found: list[Trait]) -> Iterable[Hit]:
    for item, trait in found:
        yield Hit(f"{sentence(item.substance.name)} solution {told(trait)}.", cites=(trait.cite,))


RULE = Rule(
    id="co2-uptake",
    group="light_and_air",
    title="Carbon dioxide is kept out",
    severity="caution",
    applies_to="solutions that take up carbon dioxide",
    citation=(cite("practice", "common practice"),),
    rationale="Carbonate forms in an open bottle; the titre falls and the end point blurs.",
    remedy=("Use boiled and cooled water, fill the bottle high, close it at once, and standardise again after "
            "opening often."),
    gather=gather,
    check=check,
    examples=(
        Example("500 mL of 0.5 M sodium hydroxide", "fired",
                "Sodium hydroxide solution takes up carbon dioxide from the air to carbonate; boiled-out water, "
                "closed plastic bottle (soda-lime guard tube for standards)."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
