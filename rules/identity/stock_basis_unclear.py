"""A stock of a salt whose solution is counted by an element says what its own strength counts."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Open
from rules.reading import question
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite


@only_where("open", "counted as", "stock")
def gather(plan: DraftPlan) -> Open | tuple[()] | None:
    if plan.opens and (found := plan.open_about("stock-basis")):
        return found
    return () if any(item.stock_basis is not None for item in plan.ingredients) else None


def check(_plan: DraftPlan, found: Open | tuple[()]) -> Iterable[Hit]:
    return (question(found),) if isinstance(found, Open) else ()


RULE = Rule(
    id="stock-basis-unclear",
    group="identity",
    title="What the strength of the stock counts is settled",
    severity="ask",
    applies_to="dilutions whose strength counts an element or ion of a named salt",
    citation=(cite("practice", "common practice: the label of a standard says what its strength is counted as"),),
    rationale="1000 mg/L of nitrogen and 1000 mg/L of potassium nitrate differ seven times.",
    remedy="Say what the stock counts, for example 'from a 1000 mg/L (as N) stock'.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "10 mg/L as N from 1 g/L potassium nitrate stock 100 mL",
            "fired",
            "Does the 1 g/L of the stock count N, or potassium nitrate itself? (1 g/L counted as N; 1 g/L counted as potassium nitrate)",
        ),
        Example("10 ppm Ba from 0.1 M barium chloride dihydrate 100 mL", "passed"),
        Example("0.1 M sodium chloride 250 mL", "not_applicable"),
    ),
)
