"""Says which technique a slow or awkward solid needs to dissolve."""

from collections.abc import Iterable

from rules.dissolving import in_water
from rules.plan import DraftPlan, Ingredient
from rules.reading import behaves
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.behaviour import Behaviour
from rules.tables.load import cite


@only_where("slow-to-dissolve")
def gather(plan: DraftPlan) -> list[tuple[Ingredient, Behaviour]] | None:
    if not in_water(plan):
        return None
    return [
        (item, held)
        for item in plan.ingredients
        if item.kind == "solid" and (held := behaves(item, "slow-to-dissolve"))
    ] or None


def check(_plan: DraftPlan, found: list[tuple[Ingredient, Behaviour]]) -> Iterable[Hit]:
    for item, held in found:
        yield Hit(sentence(f"{item.substance.name} is slow or awkward to dissolve: {held.detail}."), cites=(held.cite,))


RULE = Rule(
    id="slow-to-dissolve",
    group="solubility",
    title="The solid dissolves readily",
    severity="caution",
    applies_to="solids weighed",
    citation=(cite("practice", "common practice"),),
    rationale="Half of it left at the bottom is half the strength, and allowing no time for it spoils the lesson.",
    remedy="Allow the time, and look against the light for undissolved solid before the volume is made up.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "KMnO4 0.02M one litre",
            "fired",
            "Potassium permanganate is slow or awkward to dissolve: slow to show that it is all dissolved: "
            "warm or stir long, look for crystals against strong light.",
        ),
        Example("0.1 M NaCl one litre", "not_applicable"),
    ),
)
