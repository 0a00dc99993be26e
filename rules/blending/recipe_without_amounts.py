"""Refuses a named mixture for which no amounts are held, or which is given as parts to be mixed and not per volume."""

from collections.abc import Iterable

from rules.blends import Recipe
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Recipe | None:
    return plan.recipe


def check(_plan: DraftPlan, recipe: Recipe) -> Iterable[Hit]:
    bought = recipe.mark("COMMERCIAL")
    if bought is not None:
        yield Hit(f"{recipe.name}: {bought}.", cites=recipe.cites)
    elif recipe.as_mixed:
        yield Hit(
            f"{recipe.name} is published as parts mixed together, not as amounts for a volume, so it is not scaled to one.",
            "Follow the published method as it stands.",
            cites=recipe.cites,
        )
    elif recipe.without_amounts:
        yield Hit(f"{recipe.name}: no amount is held for {', '.join(recipe.without_amounts)}.", cites=recipe.cites)


RULE = Rule(
    id="recipe-without-amounts",
    group="blending",
    title="Every part of the recipe has its amount",
    severity="stop",
    applies_to="named mixtures",
    citation=(cite("practice", "common practice"),),
    rationale="A mixture made from guessed amounts is not the one asked for.",
    remedy="Buy it made up, or give the parts with their strengths from a method you trust.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "200 mL of Nessler's reagent",
            "fired",
            "Nessler's reagent: no amount is held for mercury(II) iodide, potassium iodide, potassium hydroxide.",
        ),
        Example("500 mL of PBS", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
