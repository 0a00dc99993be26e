"""Asks which buffer is meant where only a pH was given."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Open
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite


@only_where("open")
def gather(plan: DraftPlan) -> Open | None:
    return plan.open_about("which-buffer") if plan.opens else None


def check(_plan: DraftPlan, question: Open) -> Iterable[Hit]:
    yield Hit(question.text, question.remedy, question=question)


RULE = Rule(
    id="which-buffer-meant",
    group="blending",
    title="The buffer is named",
    severity="ask",
    applies_to="buffers asked for by pH alone",
    citation=(cite("practice", "common practice"),),
    rationale="Many substances hold one pH, and they are not exchangeable.",
    remedy="Name the buffer with its strength.",
    gather=gather,
    check=check,
    examples=(
        Example("250 mL of pH 7 buffer", "fired", "Which buffer should hold pH 7?"),
        Example("500 mL of 0.1 M tris pH 8.0", "not_applicable"),
    ),
)
