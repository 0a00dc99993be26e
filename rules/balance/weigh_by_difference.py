"""Solids that change while they stand open are weighed quickly and by difference."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import behaves, weighed
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.behaviour import Behaviour
from rules.tables.load import cite

_WHY = {
    "deliquescent": "runs wet in the open",
    "hygroscopic": "takes up water in the open",
    "co2-absorbing": "takes up carbon dioxide in the open",
    "volatile": "loses vapour in the open",
}


@only_where(*_WHY)
def gather(plan: DraftPlan) -> list[tuple[Ingredient, str, Behaviour]] | None:
    found = []
    for item in weighed(plan):
        first = next(((why, held) for kind, why in _WHY.items() if (held := behaves(item, kind))), None)
        if first is not None:
            found.append((item, *first))
    return found or None


def check(_plan: DraftPlan, found: list[tuple[Ingredient, str, Behaviour]]) -> Iterable[Hit]:
    for item, why, held in found:
        yield Hit(
            sentence(f"{item.substance.name} {why}, so its mass creeps while it lies on the balance."),
            cites=(held.cite,),
        )


RULE = Rule(
    id="weigh-by-difference",
    group="balance",
    title="The solid keeps its mass while it is weighed",
    severity="note",
    applies_to="solids weighed",
    citation=(cite("practice", "common practice"),),
    rationale="The mass taken is then not the mass of the substance.",
    remedy="Weigh quickly from a closed bottle by difference, write down the reading at once, and close the bottle.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "1L 2M NaOH",
            "fired",
            "Sodium hydroxide runs wet in the open, so its mass creeps while it lies on the balance.",
        ),
        Example("1 L of 0.1 M potassium nitrate", "not_applicable"),
    ),
)
