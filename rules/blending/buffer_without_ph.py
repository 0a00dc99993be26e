"""Asks for the pH of a buffer that was named without one."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Open
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite


@only_where("open")
def gather(plan: DraftPlan) -> Open | None:
    return plan.open_about("ph") if plan.opens else None


def check(_plan: DraftPlan, question: Open) -> Iterable[Hit]:
    yield Hit(question.text, question.remedy, question=question)


RULE = Rule(
    id="buffer-without-ph",
    group="blending",
    title="The buffer's pH is given",
    severity="ask",
    applies_to="buffers named as such",
    citation=(cite("practice", "common practice"),),
    rationale="The proportions of a buffer follow from its pH.",
    remedy="Add the pH.",
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.1 M phosphate buffer", "fired", "Which pH should the phosphate buffer have?"),
        Example("500 mL of 0.1 M tris pH 8.0", "not_applicable"),
    ),
)
