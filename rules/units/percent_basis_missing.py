"""A percentage says what it is a percentage of."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Open
from rules.reading import question
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Open | tuple[()] | None:
    if plan.opens and (found := plan.open_about("percent-basis")):
        return found
    return () if plan.ingredients else None


def check(_plan: DraftPlan, found: Open | tuple[()]) -> Iterable[Hit]:
    return (question(found),) if isinstance(found, Open) else ()


RULE = Rule(
    id="percent-basis-missing",
    group="units",
    title="The basis of the percentage is settled",
    severity="ask",
    applies_to="every strength",
    citation=(cite("practice", "common practice: w/w, w/v or v/v is asked back"),),
    rationale="20 % by mass and 20 % by volume of solution differ by the density, a fifth for strong alkali.",
    remedy="Write % w/v, % w/w or % v/v.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "10 % NaOH 500 mL",
            "fired",
            "Which percent of sodium hydroxide is meant by 10 %? (grams in 100 mL of solution (% w/v); grams "
            "in 100 g of solution (% w/w))",
        ),
        Example("10 % w/v NaOH 500 mL", "passed"),
    ),
)
