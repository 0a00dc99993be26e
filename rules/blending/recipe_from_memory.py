"""Warns that a recipe was only remembered, with no source at hand."""

from collections.abc import Iterable

from rules.blends import Recipe
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Recipe | None:
    return plan.recipe


def check(_plan: DraftPlan, recipe: Recipe) -> Iterable[Hit]:
    if recipe.from_memory:
        yield Hit(f"The amounts of {recipe.name} are from memory: no source was at hand.", cites=recipe.cites)


RULE = Rule(
    id="recipe-from-memory",
    group="blending",
    title="The recipe was read in a source",
    severity="caution",
    applies_to="named mixtures",
    citation=(cite("memory", "recipes marked so in the table of mixtures"),),
    rationale="A remembered amount may be wrong.",
    remedy="Compare it with your own method before use.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "500 mL of tyrode solution",
            "fired",
            "The amounts of Tyrode solution are from memory: no source was at hand.",
        ),
        Example("500 mL of PBS", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
