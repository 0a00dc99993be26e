"""Says what the uncertainty of the strength mostly comes from."""

from collections.abc import Iterable

from rules.plan import Budget, DraftPlan
from rules.rule import Example, Hit, Rule, Unchecked
from rules.saying import figures
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Budget | Unchecked | None:
    if plan.budget is not None:
        return plan.budget if plan.budget.lines else None
    if not plan.ingredients or not plan.steps or plan.solvent_by_mass:
        return None
    return Unchecked("The uncertainty of the strength was not worked out for this route.")


def check(_plan: DraftPlan, budget: Budget) -> Iterable[Hit]:
    line = budget.lines[0]
    yield Hit(f"The strength is known to {figures(100 * budget.k * budget.u_rel, 2)} % (expanded, k = {budget.k:g}); "
              f"{100 * line.share:.0f} % of the variance comes from: {line.source}.")


RULE = Rule(
    id="budget-largest-cause",
    group="measurement",
    title="The uncertainty is worked out",
    severity="note",
    applies_to="solutions made by volume",
    citation=(cite("practice", "common practice: improve the largest contribution"),),
    rationale="Care spent on the small contributions changes nothing.",
    remedy="If it must be better known, improve that line first.",
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.1 M sodium chloride", "fired",
                "The strength is known to 0.88 % (expanded, k = 2); 98 % of the variance comes from: assay (99 to "
                "100.5 %)."),
        Example("make some acid", "not_applicable"),
    ),
)
