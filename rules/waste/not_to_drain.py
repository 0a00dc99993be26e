"""Heavy metals, solvents and other listed wastes do not go down the drain."""

from collections.abc import Iterable

from rules.handled import strength
from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.tables.handling import Waste, waste
from rules.tables.load import cite


def gather(plan: DraftPlan) -> list[tuple[Ingredient, Waste]] | None:
    return [(item, waste(item.substance.slug)) for item in plan.ingredients] or None


def check(_plan: DraftPlan, found: list[tuple[Ingredient, Waste]]) -> Iterable[Hit]:
    for item, route in found:
        if route.drain_limit == "none":
            much = f"{said} " if (said := strength(item)) else ""
            yield Hit(f"{sentence(f'{much}{item.substance.name}')} does not go down the drain: {route.advice.replace(': ', '; ')}.",
                      "Set out a waste bottle for it with the preparation, named and dated.",
                      cites=(route.cite,))


RULE = Rule(
    id="not-to-drain",
    group="waste",
    title="It may go to the drain under some condition",
    severity="caution",
    applies_to="every solution",
    citation=(cite("practice", "common practice"),),
    rationale="Metals pass the sewage works, and solvents and oxidisers meet in the trap.",
    remedy="Set out the named waste bottle with the preparation.",
    gather=gather,
    check=check,
    examples=(
        Example("250 mL of 0.1 M nickel sulfate hexahydrate", "fired",
                "0.100 mol/L nickel(II) sulfate does not go down the drain: no drain; named bottle for nickel "
                "waste, label with metal and strength; keep rinsings."),
        Example("1 L of 0.1 M sodium chloride", "passed"),
        Example("make some acid", "not_applicable"),
    ),
)
