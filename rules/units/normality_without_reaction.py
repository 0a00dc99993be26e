"""A normality names the reaction its equivalents belong to."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Open
from rules.reading import question
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Open | tuple[()] | None:
    if plan.opens and (found := plan.open_about("equivalents")):
        return found
    return () if plan.ingredients else None


def check(_plan: DraftPlan, found: Open | tuple[()]) -> Iterable[Hit]:
    return (question(found),) if isinstance(found, Open) else ()


RULE = Rule(
    id="normality-without-reaction",
    group="units",
    title="The reaction behind the normality is settled",
    severity="ask",
    applies_to="every strength",
    citation=(cite("practice", "common practice: equivalents depend on the reaction"),),
    rationale="0.1 N dichromate is 0.0167 M for one reaction and another strength for the next.",
    remedy="Name the reaction, or give the strength in mol/L.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.1 N potassium dichromate 1 L",
            "fired",
            "0.1 N is a normality (equivalents in a litre). For which reaction of potassium dichromate? "
            "(iodometry, 6 equivalents in a mole; redox dichromate, 6 equivalents in a mole)",
        ),
        Example("0.1 N HCl 1 L", "passed"),
    ),
)
