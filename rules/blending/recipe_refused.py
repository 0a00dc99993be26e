"""Refuses a named mixture that no prep room makes up and keeps, and gives no amounts."""

from collections.abc import Iterable

from rules.blends import Recipe
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Recipe | None:
    return plan.recipe


def check(_plan: DraftPlan, recipe: Recipe) -> Iterable[Hit]:
    why = recipe.mark("REFUSE")
    if why is not None:
        yield Hit(f"{recipe.name}: {why}.", approvable=False, cites=recipe.cites)


RULE = Rule(
    id="recipe-refused",
    group="blending",
    title="The recipe may be made here",
    severity="stop",
    applies_to="named mixtures that are never kept or supplied",
    citation=(cite("practice", "common practice"),),
    rationale="Some mixtures gas, explode or cause cancer, and are only for trained staff under a written procedure.",
    remedy="Ask the safety officer; use the safer means named.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "500 mL of piranha solution",
            "fired",
            "piranha solution: explosive with organics, pressurises bottles: specialist procedure only.",
        ),
        Example("500 mL of PBS", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
