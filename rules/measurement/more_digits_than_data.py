"""The strength is not asked for to more figures than this preparation can give."""

from collections.abc import Iterable

from rules.plan import Budget, DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import figures
from rules.tables.load import cite


def gather(plan: DraftPlan) -> tuple[Budget, float] | None:
    item = plan.main
    if plan.budget is None or item is None or item.component.strength is None:
        return None
    typed = item.component.strength.value
    exponent = typed.as_tuple().exponent
    if not isinstance(exponent, int) or exponent >= 0 or not typed:
        return None
    return plan.budget, 10.0 ** exponent / float(typed)


def check(plan: DraftPlan, found: tuple[Budget, float]) -> Iterable[Hit]:
    budget, last_digit = found
    expanded = budget.k * budget.u_rel
    if expanded > last_digit and plan.main is not None and plan.main.component.strength is not None:
        typed = plan.main.component.strength
        yield Hit(f"{typed.value} {typed.unit} was asked for to its last digit ({figures(100 * last_digit, 2)} %), but the strength is "
                  f"known to {figures(100 * expanded, 2)} % only (expanded, k = {budget.k:g}).")


RULE = Rule(
    id="more-digits-than-data",
    group="measurement",
    title="The figures asked for are within reach",
    severity="note",
    applies_to="strengths typed with decimals",
    citation=(cite("practice", "common practice: no more figures than the data carries"),),
    rationale="Figures on the label that the bench cannot deliver mislead whoever uses them.",
    remedy="Print the strength to the figures its uncertainty allows; keep the full value in the record only.",
    gather=gather,
    check=check,
    examples=(
        Example("100.0 mL of 0.15000 M sodium chloride", "fired",
                "0.15000 mol/L was asked for to its last digit (0.0067 %), but the strength is known to 0.88 % only "
                "(expanded, k = 2)."),
        Example("1 L of 0.1 M sodium chloride", "passed"),
        Example("1 L of 2 M sodium chloride", "not_applicable"),
    ),
)
