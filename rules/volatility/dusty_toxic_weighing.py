"""Harmful dust is not weighed on an open balance."""

from collections.abc import Iterable

from rules.handled import Trait, told, with_trait
from rules.plan import DraftPlan
from rules.reading import named
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.signs import only_where
from rules.tables.load import cite


@only_where("dusty-toxic")
def gather(plan: DraftPlan) -> list[Trait] | None:
    found = with_trait(plan, "dusty-toxic")
    return found and ([(item, trait) for item, trait in found if item.kind == "solid"] or None)


def check(_plan: DraftPlan, found: list[Trait]) -> Iterable[Hit]:
    for item, trait in found:
        amount = f"{say(item.mass_g, 'g')} of " if item.mass_g is not None else ""
        yield Hit(f"{amount}{named(item)} is weighed as a solid: {told(trait)}." if amount else f"{named(item)}: {told(trait)}.",
                  cites=(trait.cite,))


RULE = Rule(
    id="dusty-toxic-weighing",
    group="volatility",
    title="Harmful dust stays out of the air",
    severity="caution",
    applies_to="harmful solids that dust",
    citation=(cite("practice", "common practice"),),
    rationale="Most of what a person takes up in making a solution is dust at the balance.",
    remedy=("Weigh in an enclosure or the fume cupboard, close the vessel before carrying it, and wipe the "
            "balance with a damp tissue."),
    gather=gather,
    check=check,
    examples=(
        Example("100 mL of 0.150 M nickel chloride hexahydrate", "fired",
                "3.57 g of nickel(II) chloride hexahydrate is weighed as a solid: harmful dust; weigh in a fume "
                "cupboard or a balance enclosure, cover the boat, wipe down wet."),
        Example("1 L of 0.1 M hydrochloric acid from 37 % density 1.18", "not_applicable"),
    ),
)
