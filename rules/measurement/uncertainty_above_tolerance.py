"""The strength is known as well as an accurate solution or standard needs."""

from collections.abc import Iterable

from rules.plan import Budget, DraftPlan
from rules.reading import must_be_exact
from rules.rule import Example, Hit, Rule, Unchecked
from rules.saying import figures
from rules.signs import only_where
from rules.tables.load import cite

CURES = (("assay", "use a lot with a certificate and type its assay"), ("strength of", "standardise the solution"),
         ("weighing", "make a larger volume, or a stock and dilute"), ("delivery", "take a larger volume, with a one-mark pipette"),
         ("flask", "use the next larger flask"), ("temperature", "work at 20 degC"))


@only_where("exact")
def gather(plan: DraftPlan) -> Budget | Unchecked | None:
    if not must_be_exact(plan) or not plan.ingredients or plan.opens or plan.problem:
        return None
    return plan.budget or Unchecked("No uncertainty was worked out, so nothing says that the solution is accurate.")


def check(plan: DraftPlan, budget: Budget) -> Iterable[Hit]:
    expanded = budget.k * budget.u_rel
    allowed = plan.policy.house.accurate_uncertainty_pct / 100
    if expanded > allowed and budget.lines:
        line = budget.lines[0]
        cure = next((said for word, said in CURES if word in line.source), "improve that step")
        yield Hit(f"The strength is known to {figures(100 * expanded, 2)} % (expanded, k = {budget.k:g}), above the "
                  f"{100 * allowed:g} % of an accurate solution; {100 * line.share:.0f} % of the variance comes from: {line.source}.",
                  f"To do better, {cure}.")


RULE = Rule(
    id="uncertainty-above-tolerance",
    group="measurement",
    title="Accurate enough for a standard",
    severity="caution",
    applies_to="accurate solutions and standards",
    citation=(cite("practice", "house figure for an accurate solution"),),
    rationale="The largest line of the budget is the only one worth improving.",
    remedy="Improve the largest line, or label it approximate.",
    gather=gather,
    check=check,
    examples=(
        Example("accurate 0.1 M hydrochloric acid 1 L from concentrated", "fired",
                "The strength is known to 2.4 % (expanded, k = 2), above the 0.5 % of an accurate solution; 96 % of "
                "the variance comes from: strength of the bottle (36.5 to 38 %)."),
        Example("accurate 0.1 M potassium hydrogen phthalate 250 mL", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
