"""Says when a density comes from a fitted equation."""

from collections.abc import Iterable

from rules.made import pct
from rules.plan import DraftPlan, SolutionProperties
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> SolutionProperties | None:
    return plan.solution if plan.solution.density_cite is not None else None


def check(plan: DraftPlan, made: SolutionProperties) -> Iterable[Hit]:
    if made.density is not None and made.density_cite is not None:
        share = f" at {pct(made.mass_fraction_pct)} w/w" if made.mass_fraction_pct is not None else ""
        yield Hit(f"The density of {made.density:.4f} g/mL{share} and {plan.temperature_degC:g} degC is from a fitted equation, "
                  "used inside its range.",
                  cites=(made.density_cite,))


RULE = Rule(
    id="density-from-model",
    group="measurement",
    title="No fitted density is used",
    severity="note",
    applies_to="solutions whose density is worked out",
    citation=(cite("laliberte-2009", "coefficients of the density equation"),),
    rationale="A calculated value must be known as one when it is used for something else.",
    remedy="Measure the density if more than three figures matter.",
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.1 M sodium chloride", "fired",
                "The density of 1.0023 g/mL at 0.58 % w/w and 20 degC is from a fitted equation, used inside its "
                "range."),
        Example("make some acid", "not_applicable"),
    ),
)
