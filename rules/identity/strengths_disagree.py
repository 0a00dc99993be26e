"""A strength said in two ways is one strength."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Open
from rules.reading import question
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Open | tuple[()] | None:
    if plan.opens and (found := plan.open_about("strengths-disagree")):
        return found
    return () if any(item.component.also is not None for item in plan.ingredients) else None


def check(_plan: DraftPlan, found: Open | tuple[()]) -> Iterable[Hit]:
    return (question(found),) if isinstance(found, Open) else ()


RULE = Rule(
    id="strengths-disagree",
    group="identity",
    title="A strength said in two ways is the same both times",
    severity="ask",
    applies_to="requests that give a strength twice, such as N/2 (M/4)",
    citation=(cite("practice", "common practice: a label that says two strengths is put right before it is copied"),),
    rationale="Where the two differ, one of them is a slip, and nobody can tell which from the label alone.",
    remedy="Leave one of the two strengths out.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.1 M (0.3 N) sulfuric acid 1 L",
            "fired",
            "0.1 mol/L and 0.3 N are not known to be the same strength of sulfuric acid. Which holds? (0.1 mol/L; 0.3 N)",
        ),
        Example("N/2 (M/4) barium nitrate 1 L", "passed"),
        Example("0.1 M sodium chloride 250 mL", "not_applicable"),
    ),
)
