"""Says when shares by mass rest on an assumed density."""

from collections.abc import Iterable

from rules.handled import names
from rules.made import pct
from rules.plan import DraftPlan, SolutionProperties
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> SolutionProperties | None:
    return plan.solution if plan.ingredients and plan.solution.mass_fraction_pct is not None else None


def check(plan: DraftPlan, made: SolutionProperties) -> Iterable[Hit]:
    if made.density_assumed and made.density is not None and made.mass_fraction_pct is not None:
        yield Hit(f"No measured density is held for {names(item.substance for item in plan.ingredients)} solution: "
                  f"{pct(made.mass_fraction_pct)} w/w rests on an assumed {made.density:.3f} g/mL and is used for limits only.")


RULE = Rule(
    id="density-assumed",
    group="measurement",
    title="The density is known",
    severity="note",
    applies_to="solutions whose share by mass is worked out",
    citation=(cite("practice", "common practice: an assumed value is named as one"),),
    rationale="Hazard limits count percent by mass, and those need a density.",
    remedy="Weigh 100 mL of the finished solution if the share by mass matters.",
    gather=gather,
    check=check,
    examples=(
        Example("100 mL of 5 % w/v glucose anhydrous", "fired",
                "No measured density is held for D-glucose solution: 4.89 % w/w rests on an assumed 1.023 g/mL and is "
                "used for limits only."),
        Example("1 L of 0.1 M sodium chloride", "passed"),
        Example("make some acid", "not_applicable"),
    ),
)
