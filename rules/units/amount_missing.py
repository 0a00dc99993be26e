"""Everything the sum needs was said: how much, how strong, and for how many."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Open
from rules.reading import question
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite

_ABOUT = ("total", "strength", "portions")


def gather(plan: DraftPlan) -> Open | tuple[()] | None:
    if plan.opens and (found := next((o for o in plan.opens if o.about in _ABOUT), None)):
        return found
    return () if plan.ingredients else None


def check(_plan: DraftPlan, found: Open | tuple[()]) -> Iterable[Hit]:
    return (question(found),) if isinstance(found, Open) else ()


RULE = Rule(
    id="amount-missing",
    group="units",
    title="Volume, strength and number of portions are given",
    severity="ask",
    applies_to="every solution",
    citation=(cite("practice", "common practice: a missing item is asked for, never filled in"),),
    rationale="A volume or strength that is guessed makes the wrong solution look right.",
    remedy="Add what is missing, for example '250 mL of 0.1 M'.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "make some 0.1 M sodium chloride",
            "fired",
            "How much of the solution is wanted?",
        ),
        Example("250 mL of 0.1 M sodium chloride", "passed"),
    ),
)
