"""Warns where the textbook answer, rounded to the figures typed, no longer gives the strength that was typed."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Measure
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite

_FACTORS = {"kg": 1e3, "g": 1.0, "mg": 1e-3, "ug": 1e-6, "L": 1e3, "mL": 1.0, "uL": 1e-3}


def gather(plan: DraftPlan) -> list[Measure] | None:
    return [line for line in plan.measures if line.textbook and line.low and line.high] or None


def check(_plan: DraftPlan, lines: list[Measure]) -> Iterable[Hit]:
    for line in lines:
        number, _, unit = (line.textbook or "").partition(" ")
        rounded = float(number) * _FACTORS[unit]
        if line.low and line.high and not line.low.value * (1 - 1e-9) <= rounded <= line.high.value * (1 + 1e-9):
            yield Hit(
                f"The rounded answer {line.textbook} is outside {line.low.display} to {line.high.display}, "
                f"which keep the strength as typed; "
                f"the amount is {line.amount.display}."
            )


RULE = Rule(
    id="textbook-loses-figures",
    group="balance",
    title="The rounded answer still gives the strength typed",
    severity="note",
    applies_to="everything measured",
    citation=(cite("openstax-chem2e", "section 1.5, significant figures"),),
    rationale="Rounding the mass to the figures of the request can move the strength by more than those figures.",
    remedy="Weigh to the amount given, not to the rounded answer.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "100 mL of 0.0500 M copper sulfate pentahydrate",
            "fired",
            "The rounded answer 1.25 g is outside 1.248 g to 1.249 g, which keep the strength as typed; the "
            "amount is 1.2484 g.",
        ),
        Example("100 mL of 0.05 M copper sulfate pentahydrate", "passed"),
        Example("make some sodium chloride", "not_applicable"),
    ),
)
