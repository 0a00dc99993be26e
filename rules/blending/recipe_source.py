"""Says where the composition of a named mixture comes from."""

from collections.abc import Iterable

from rules.blends import Recipe
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite, source


def gather(plan: DraftPlan) -> Recipe | None:
    found = plan.recipe
    return found if found is not None and not found.from_memory else None


def check(_plan: DraftPlan, recipe: Recipe) -> Iterable[Hit]:
    first = recipe.cites[0]
    yield Hit(
        f"{recipe.name} is made as in: {source(first.source_id).reference} ({first.locator}).", cites=recipe.cites
    )


RULE = Rule(
    id="recipe-source",
    group="blending",
    title="The composition has no source",
    severity="note",
    applies_to="named mixtures",
    citation=(cite("practice", "common practice"),),
    rationale="Recipes of one name differ; the label and the record must say which was followed.",
    remedy="Write the source on the record.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "500 mL of PBS",
            "fired",
            "phosphate-buffered saline, 1x is made as in: Phosphate-buffered saline (PBS), Cold Spring Harbor Protocols 2006, "
            "rec8247 (Phosphate-buffered saline (PBS)).",
        ),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
