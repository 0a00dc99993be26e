"""Says which acid a salt needs that goes cloudy in plain water."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import behaves
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.behaviour import Behaviour
from rules.tables.load import cite


@only_where("hydrolyses")
def gather(plan: DraftPlan) -> list[tuple[Ingredient, Behaviour]] | None:
    return [
        (item, held) for item in plan.ingredients if item.kind == "solid" and (held := behaves(item, "hydrolyses"))
    ] or None


def check(_plan: DraftPlan, found: list[tuple[Ingredient, Behaviour]]) -> Iterable[Hit]:
    for item, held in found:
        yield Hit(
            sentence(
                f"{item.substance.name} goes cloudy in plain water, because the metal ion takes up hydroxide; it needs {held.detail}."
            ),
            cites=(held.cite,),
        )


RULE = Rule(
    id="hydrolysing-ion",
    group="solubility",
    title="The salt stays clear in plain water",
    severity="caution",
    applies_to="salts of small, highly charged metal ions",
    citation=(cite("practice", "common practice"),),
    rationale="Once the hydroxide has come out it hardly goes back.",
    remedy="Put the acid in before the water, and write its strength on the label.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.1 M iron(III) chloride hexahydrate 250 mL",
            "fired",
            "Iron(III) chloride goes cloudy in plain water, because the metal ion takes up hydroxide; it "
            "needs hydrochloric acid.",
        ),
        Example("0.1 M NaCl 250 mL", "not_applicable"),
    ),
)
