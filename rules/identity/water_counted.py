"""A strength by mass, made from a named hydrate, says whether it counts the water."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Open
from rules.reading import question
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite


@only_where("open")
def gather(plan: DraftPlan) -> Open | None:
    return plan.open_about("water-counted")


def check(_plan: DraftPlan, found: Open) -> Iterable[Hit]:
    return (question(found),)


RULE = Rule(
    id="water-counted",
    group="identity",
    title="What a strength by mass counts of a hydrate is settled",
    severity="ask",
    applies_to="percentages and grams in a litre of a salt that is weighed as a named hydrate",
    citation=(cite("practice", "common practice: percentages are counted either way"),),
    rationale="10 % sodium carbonate takes 2.7 times as much decahydrate when the water is not counted.",
    remedy="Name the form that the strength counts.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "500 g of 10 % w/w sodium carbonate from the decahydrate",
            "fired",
            "Does the strength count the decahydrate as it is weighed, or sodium carbonate without its water? (the decahydrate as it "
            "is weighed; sodium carbonate without water)",
        ),
        Example("500 g of 10 % w/w anhydrous sodium carbonate from the decahydrate", "not_applicable"),
        Example("0.1 M sodium carbonate from the decahydrate 500 mL", "not_applicable"),
    ),
)
