"""Substances on the ask-first list are made only with permission."""

from collections.abc import Iterable

from rules.made import asked_for
from rules.plan import DraftPlan
from rules.policies import AskFirst
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.tables.load import cite


def gather(plan: DraftPlan) -> list[tuple[str, AskFirst]] | None:
    listed = plan.policy.ask_first
    found = [(kind.name, listed[kind.slug]) for kind in asked_for(plan) if kind.slug in listed]
    return [(name, asked) for name, asked in found if asked.action == "hold"] or None


def check(_plan: DraftPlan, found: list[tuple[str, AskFirst]]) -> Iterable[Hit]:
    for name, asked in found:
        yield Hit(f"{sentence(name)} is on the ask-first list: {asked.reason}.", approvable=asked.approvable, cites=(asked.cite,))


RULE = Rule(
    id="ask-first-list",
    group="hazard",
    title="Nothing on the ask-first list",
    severity="hold",
    applies_to="substances on the ask-first list of the policy",
    citation=(cite("practice", "common practice: list of substances that are asked about first"),),
    rationale="For some substances the question is not how, but whether.",
    remedy="Ask whether something milder does the job; otherwise the safety officer allows it, with conditions.",
    gather=gather,
    check=check,
    examples=(
        Example("100 mL of 0.1 M potassium dichromate", "fired",
                "Potassium dichromate is on the ask-first list: carcinogen, mutagen and reproductive toxicant 1B."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
