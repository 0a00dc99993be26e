"""Says that a named mixture is made at the moment of use and never kept."""

from collections.abc import Iterable

from rules.blends import Recipe
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Recipe | None:
    return plan.recipe


def check(_plan: DraftPlan, recipe: Recipe) -> Iterable[Hit]:
    why = recipe.mark("FRESH")
    if why is not None:
        yield Hit(f"{recipe.name}: {why}.", cites=recipe.cites)


RULE = Rule(
    id="recipe-made-fresh",
    group="blending",
    title="The recipe keeps",
    severity="caution",
    applies_to="named mixtures",
    citation=(cite("practice", "common practice"),),
    rationale="Some reagents spoil or turn dangerous within hours.",
    remedy="Make it when it is used, and destroy the rest as the recipe says.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "10 mL of Tollens reagent",
            "fired",
            "Tollens' reagent: made in the test tube at the moment of use, never stored (explosive silver compounds).",
        ),
        Example("500 mL of PBS", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
