"""Holds a named mixture whose recipe says that somebody must allow it."""

from collections.abc import Iterable

from rules.blends import Recipe
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Recipe | None:
    return plan.recipe


def check(_plan: DraftPlan, recipe: Recipe) -> Iterable[Hit]:
    why = recipe.mark("HOLD")
    if why is not None:
        yield Hit(f"{recipe.name}: {why}.", cites=recipe.cites)


RULE = Rule(
    id="recipe-held",
    group="blending",
    title="The recipe needs nobody's permission",
    severity="hold",
    applies_to="named mixtures",
    citation=(cite("practice", "common practice"),),
    rationale="The recipe is known to need a decision by somebody who answers for it.",
    remedy="Ask for approval, and say who will use it and where.",
    gather=gather,
    check=check,
    examples=(
        Example("500 mL of formol saline", "fired", "formol saline, 10 % formalin: carcinogen 1B and sensitiser."),
        Example("500 mL of PBS", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
