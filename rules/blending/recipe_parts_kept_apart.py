"""Says that a named reagent is one of two that are kept apart until use."""

from collections.abc import Iterable

from rules.blends import Recipe
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Recipe | None:
    return plan.recipe


def check(_plan: DraftPlan, recipe: Recipe) -> Iterable[Hit]:
    why = recipe.mark("SEPARATE")
    if why is not None:
        yield Hit(f"{recipe.name}: {why}.", cites=recipe.cites)


RULE = Rule(
    id="recipe-parts-kept-apart",
    group="blending",
    title="The recipe is one bottle",
    severity="note",
    applies_to="named mixtures",
    citation=(cite("practice", "common practice"),),
    rationale="The parts spoil each other once mixed.",
    remedy="Supply the bottles side by side.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "250 mL of Fehling's B",
            "fired",
            "Fehling's solution B: keep A and B in two bottles, mix equal volumes at the moment of use.",
        ),
        Example("500 mL of PBS", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
