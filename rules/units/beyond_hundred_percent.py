"""No mass or volume fraction above the whole."""

from collections.abc import Iterable

from grammar.request import Quantity
from rules.plan import DraftPlan
from rules.reading import components
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite

_FRACTIONS = frozenset({"% w/w", "% v/v"})


@only_where(*(f"unit {unit}" for unit in _FRACTIONS))
def gather(plan: DraftPlan) -> list[Quantity] | None:
    typed = [
        q for c in components(plan) for q in (c.strength, c.source.strength if c.source else None) if q is not None
    ]
    return [q for q in typed if q.unit in _FRACTIONS] or None


def check(_plan: DraftPlan, found: list[Quantity]) -> Iterable[Hit]:
    for strength in found:
        if strength.value > 100:
            yield Hit(f"{strength.value} {strength.unit} is more than the whole; the pure substance is 100 %.")


RULE = Rule(
    id="beyond-hundred-percent",
    group="units",
    title="The percentage is at most 100",
    severity="stop",
    applies_to="strengths in % w/w or % v/v",
    citation=(cite("practice", "a fraction of the whole is at most the whole"),),
    rationale="A slip of the decimal point, or grams per 100 mL meant as a fraction.",
    remedy="Check the decimal point; grams in 100 mL are written % w/v.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "120 % w/w sodium hydroxide, 100 g",
            "fired",
            "120 % w/w is more than the whole; the pure substance is 100 %.",
        ),
        Example("12 % w/w sodium hydroxide, 100 g", "passed"),
        Example("2 M sodium hydroxide, 100 mL", "not_applicable"),
    ),
)
