"""A shelf life is held for the solution."""

from collections.abc import Iterable

from rules.handled import names
from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.tables.handling import storage
from rules.tables.load import cite


def gather(plan: DraftPlan) -> list[Ingredient] | None:
    return plan.ingredients or None


def check(plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    without = [item.substance for item in found
               if (kept := storage(item.substance.slug, item.target_mol_L)) is None or kept.shelf_life_days is None
               or kept.basis == "house-default"]
    if without:
        most = plan.policy.house.shelf_life_days
        yield Hit(f"No shelf life is held for {names(without)} solution: at most {most} days, as the house default.")


RULE = Rule(
    id="shelf-life-default",
    group="stability",
    title="A shelf life is held",
    severity="note",
    applies_to="every solution",
    citation=(cite("house-default", "longest time kept where nothing is held"),),
    rationale="A solution without a date is kept for ever.",
    remedy="Write a use-by of one year at most and look at it before each use; shorten it when it clouds or colours.",
    gather=gather,
    check=check,
    examples=(
        Example("100 mL of 0.1 M caesium chloride", "fired",
                "No shelf life is held for caesium chloride solution: at most 365 days, as the house default."),
        Example("1 L of 0.1 M sodium chloride", "passed"),
        Example("make some acid", "not_applicable"),
    ),
)
