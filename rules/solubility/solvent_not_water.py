"""Says that what is held counts for water, where another solvent was asked for."""

from collections.abc import Iterable

from rules.dissolving import in_water
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule, Unchecked
from rules.saying import sentence
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Unchecked | None:
    main = plan.main
    if main is None or in_water(plan):
        return None
    return Unchecked(
        f"{sentence(main.substance.name)} is asked for in another solvent than water: whether it dissolves there, how warm it gets "
        "and how dense the solution is were not checked."
    )


def check(_plan: DraftPlan, _found: Unchecked) -> Iterable[Hit]:
    return ()


RULE = Rule(
    id="solvent-not-water",
    group="solubility",
    title="The solvent is water",
    severity="caution",
    applies_to="every solution",
    citation=(cite("practice", "common practice"),),
    rationale="Solubility, density and heat in the tables are those in water.",
    remedy="Try a small portion first, and read the safety data sheets of both.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.1 M sodium chloride in ethanol, 100 mL",
            "unchecked",
            "Sodium chloride is asked for in another solvent than water: whether it dissolves there, how warm it gets "
            "and how dense the solution is were not checked.",
        ),
        Example("0.1 M sodium chloride in water, 100 mL", "not_applicable"),
    ),
)
