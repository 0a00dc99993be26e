"""Says under what condition the drain is the right way."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.tables.handling import Waste, waste
from rules.tables.load import cite


def gather(plan: DraftPlan) -> list[tuple[Ingredient, Waste]] | None:
    found = [(item, route) for item in plan.ingredients if (route := waste(item.substance.slug)).drain_limit != "none"]
    return found or None


def check(_plan: DraftPlan, found: list[tuple[Ingredient, Waste]]) -> Iterable[Hit]:
    for item, route in found:
        yield Hit(f"{sentence(item.substance.name)} may go to the drain only under this condition: {route.drain_limit}. "
                  f"{sentence(route.advice)}.",
                  cites=(route.cite,))


RULE = Rule(
    id="drain-under-condition",
    group="waste",
    title="The drain is not the way",
    severity="note",
    applies_to="solutions that may be run away",
    citation=(cite("practice", "common practice"),),
    rationale="What the drain takes is local law; no table can allow it.",
    remedy="Ask what the local consent allows and write down what was run away.",
    gather=gather,
    check=check,
    examples=(
        Example("500 mL of 0.5 M sodium hydroxide", "fired",
                "Sodium hydroxide may go to the drain only under this condition: pH 6-9 and local consent. Dilute, "
                "neutralise with dilute hydrochloric or acetic acid (carbonates froth: open vessel), check pH 6-9, "
                "log it."),
        Example("250 mL of 0.1 M nickel sulfate hexahydrate", "not_applicable"),
    ),
)
