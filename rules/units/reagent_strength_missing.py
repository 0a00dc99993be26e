"""The strength of the bottle poured from is known."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Open
from rules.reading import question
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Open | tuple[()] | None:
    if plan.opens and (found := plan.open_about("reagent-strength")):
        return found
    return () if plan.ingredients else None


def check(_plan: DraftPlan, found: Open | tuple[()]) -> Iterable[Hit]:
    return (question(found),) if isinstance(found, Open) else ()


RULE = Rule(
    id="reagent-strength-missing",
    group="units",
    title="The strength of the bottle is known",
    severity="ask",
    applies_to="every solution",
    citation=(cite("practice", "common practice: percentage and density, or mol/L, stand on the label"),),
    rationale="Without the strength of the bottle there is no volume to pour.",
    remedy="Read the percentage and the density, or mol/L, on the label.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "250 mL of 0.1 M formic acid",
            "fired",
            "How strong is the bottle of formic acid? No one strength is usual. (90 %, 1.202 g/mL; 95 %, "
            "1.212 g/mL; 98 %, 1.217 g/mL)",
        ),
        Example("1 L of 0.1 M HCl from 37 %, density 1.18", "passed"),
    ),
)
