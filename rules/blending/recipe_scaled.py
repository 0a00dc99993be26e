"""Warns when a named mixture is made at another strength than the published one."""

from collections.abc import Iterable

from rules.blends import Recipe
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Recipe | None:
    return plan.recipe


def check(_plan: DraftPlan, recipe: Recipe) -> Iterable[Hit]:
    if recipe.scale != 1:
        yield Hit(
            f"The recipe held is for {recipe.name}; every amount is multiplied by {recipe.scale:g} for the strength asked for.",
            cites=recipe.cites,
        )


RULE = Rule(
    id="recipe-scaled",
    group="blending",
    title="The recipe is made at its published strength",
    severity="caution",
    applies_to="named mixtures",
    citation=(cite("practice", "common practice"),),
    rationale="What dissolves and what the pH is at one strength need not hold at another.",
    remedy="Try a small batch first; read the pH after dilution to the working strength.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "500 mL of 5x PBS",
            "fired",
            "The recipe held is for phosphate-buffered saline, 10x; every amount is multiplied by 0.5 for "
            "the strength asked for.",
        ),
        Example("500 mL of PBS", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
