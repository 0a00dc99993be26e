"""Warns where a gas may come off, so that the vessel is not closed."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import behaves
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.behaviour import Behaviour
from rules.tables.load import cite


@only_where("gas-evolving")
def gather(plan: DraftPlan) -> list[tuple[Ingredient, Behaviour]] | None:
    return [(item, held) for item in plan.ingredients if (held := behaves(item, "gas-evolving"))] or None


def check(plan: DraftPlan, found: list[tuple[Ingredient, Behaviour]]) -> Iterable[Hit]:
    acid = any(item.substance.family == "acid" for item in plan.ingredients)
    for item, held in found:
        yield Hit(
            sentence(f"{item.substance.name} may give off gas ({held.detail})."),
            severity="caution" if acid or not held.detail.startswith("with acid") else "note",
            cites=(held.cite,),
        )


RULE = Rule(
    id="gas-given-off",
    group="order_and_heat",
    title="No gas comes off",
    severity="caution",
    applies_to="carbonates, sulfites, peroxides and the like",
    citation=(cite("practice", "common practice"),),
    rationale="A stoppered vessel bursts, and an inverted flask sprays.",
    remedy="Leave it open until it is quiet, open the stopper between turns, and keep it away from acid.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.1 M ammonium carbonate 250 mL",
            "fired",
            "Ammonium carbonate may give off gas (carbon dioxide and ammonia; builds pressure when warm).",
        ),
        Example("0.1 M sodium chloride 250 mL", "not_applicable"),
    ),
)
