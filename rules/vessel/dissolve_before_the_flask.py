"""A solid is dissolved in a beaker and rinsed across before the flask is filled."""

from collections.abc import Iterable

from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite

_DISSOLVING = ("dissolve", "dissolve-warm", "acid-to-water")


def gather(plan: DraftPlan) -> list[str] | None:
    if not plan.steps or not plan.batches or plan.batches[0].vessel.glass.kind != "volumetric-flask":
        return None
    if plan.recipe is not None and plan.recipe.saturated:
        return None
    actions = [step.action for step in plan.steps]
    return actions if "weigh" in actions or "weigh-by-difference" in actions else None


def check(_plan: DraftPlan, actions: list[str]) -> Iterable[Hit]:
    done = next((i for i, action in enumerate(actions) if action in _DISSOLVING), None)
    filled = actions.index("fill-to-mark") if "fill-to-mark" in actions else len(actions)
    rinsed = actions.index("rinse") if "rinse" in actions else None
    if done is None or rinsed is None or not done < rinsed < filled:
        yield Hit(
            "The steps do not dissolve the solid in a beaker and rinse it into the flask before the flask is filled."
        )


RULE = Rule(
    id="dissolve-before-the-flask",
    group="vessel",
    title="The solid is dissolved in a beaker and rinsed across",
    severity="hold",
    applies_to="solids made up in a volumetric flask",
    citation=(cite("practice", "common practice: dissolve, transfer, three rinses, then the mark"),),
    rationale="Solid left in the neck or in the beaker is missing from the solution, and dissolving changes the volume at the mark.",
    remedy="Dissolve in a beaker in about half the water, pour across, and rinse three times.",
    gather=gather,
    check=check,
    examples=(
        Example("250 mL of 0.1 M sodium chloride", "passed"),
        Example("250 g of 10 % w/w sodium chloride", "not_applicable"),
    ),
)
