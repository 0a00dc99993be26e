"""Solids that metal spoils, or that spoil metal, are not taken with a metal spatula."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import behaves, weighed
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.behaviour import Behaviour
from rules.tables.load import cite


@only_where("no-metal")
def gather(plan: DraftPlan) -> list[tuple[Ingredient, Behaviour]] | None:
    return [(item, held) for item in weighed(plan) if (held := behaves(item, "no-metal"))] or None


def check(_plan: DraftPlan, found: list[tuple[Ingredient, Behaviour]]) -> Iterable[Hit]:
    for item, held in found:
        detail = f": {held.detail}" if held.detail else ""
        yield Hit(sentence(f"{item.substance.name} does not go with metal{detail}."), cites=(held.cite,))


RULE = Rule(
    id="no-metal-spatula",
    group="balance",
    title="A metal spatula will do",
    severity="note",
    applies_to="solids weighed",
    citation=(cite("practice", "common practice"),),
    rationale="Copper, silver and mercury salts plate out on steel, iodine and strong oxidisers attack it.",
    remedy="Use a plastic, glass or ceramic spatula.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "250ml 0.1M AgNO3",
            "fired",
            "Silver nitrate does not go with metal: no metal spatula or boat: plastic, glass or porcelain.",
        ),
        Example("0.1 M NaCl one litre", "not_applicable"),
    ),
)
