"""Oxidisers and other attacking solids are weighed in glass, not on paper or plastic."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import behaves, weighed
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.behaviour import Behaviour
from rules.tables.load import cite


@only_where("oxidiser-weigh-glass")
def gather(plan: DraftPlan) -> list[tuple[Ingredient, Behaviour]] | None:
    return [(item, held) for item in weighed(plan) if (held := behaves(item, "oxidiser-weigh-glass"))] or None


def check(_plan: DraftPlan, found: list[tuple[Ingredient, Behaviour]]) -> Iterable[Hit]:
    for item, held in found:
        detail = f": {held.detail}" if held.detail else ""
        yield Hit(
            sentence(f"{item.substance.name} is weighed in glass, never on paper or in a plastic boat{detail}."),
            cites=(held.cite,),
        )


RULE = Rule(
    id="weigh-in-glass",
    group="balance",
    title="A weighing boat will do",
    severity="caution",
    applies_to="oxidisers, iodine and silver salts weighed as solids",
    citation=(cite("practice", "common practice"),),
    rationale="They stain, attack or set fire to paper and plastic, and what clings is missing from the solution.",
    remedy="Use a clean dry glass weighing bottle or a small beaker, and a glass or ceramic spatula where it says no metal.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "KMnO4 0.02M one litre",
            "fired",
            "Potassium permanganate is weighed in glass, never on paper or in a plastic boat: weigh in a "
            "clean glass vessel, not on paper; wipe spills with water, not dry tissue.",
        ),
        Example("0.1 M NaCl one litre", "not_applicable"),
    ),
)
