"""The unit of the strength can be turned into an amount of this substance."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Open
from rules.reading import question
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Open | tuple[()] | None:
    if plan.opens and (found := plan.open_about("unit-unsupported")):
        return found
    return () if plan.ingredients else None


def check(_plan: DraftPlan, found: Open | tuple[()]) -> Iterable[Hit]:
    return (question(found),) if isinstance(found, Open) else ()


RULE = Rule(
    id="unit-not-usable",
    group="units",
    title="The unit can be used",
    severity="ask",
    applies_to="every strength",
    citation=(cite("practice", "common practice"),),
    rationale="A unit without a fixed meaning for this substance gives no mass.",
    remedy="Give the strength in mol/L, in g/L, or as a percentage with its basis.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "2X sodium chloride 500 mL",
            "fired",
            "2 X cannot be turned into an amount of sodium chloride here.",
        ),
        Example("2 M sodium chloride 500 mL", "passed"),
    ),
)
