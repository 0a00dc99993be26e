"""Asks before another solvent than water is used, unless the bench table names it for the solid."""

from collections.abc import Iterable

from rules.dissolving import in_water
from rules.plan import DraftPlan, Open
from rules.reading import question
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite


@only_where("solvent", "open")
def gather(plan: DraftPlan) -> Open | tuple[()] | None:
    found = plan.open_about("solvent")
    if found is not None:
        return found
    return None if plan.main is None or in_water(plan) else ()


def check(_plan: DraftPlan, found: Open | tuple[()]) -> Iterable[Hit]:
    return (question(found),) if isinstance(found, Open) else ()


RULE = Rule(
    id="solvent-not-water",
    group="solubility",
    title="The solvent is known to dissolve the solid",
    severity="ask",
    applies_to="solutions in another solvent than water",
    citation=(cite("practice", "common practice"),),
    rationale="Solubility, density and heat in the tables are those in water.",
    remedy="Make it in water, or try a small portion first and have the method looked at.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.1 M sodium chloride in ethanol, 100 mL",
            "fired",
            "Nothing is held on how much sodium chloride dissolves in ethanol. Is it to be made in water? (in water)",
        ),
        Example("1 % w/v phenolphthalein in ethanol, 100 mL", "passed"),
        Example("0.1 M sodium chloride in water, 100 mL", "not_applicable"),
    ),
)
