"""A stated purity lies between 0 and 100 %."""

from collections.abc import Iterable

from grammar.request import Quantity
from rules.plan import DraftPlan
from rules.reading import components
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite

#: A purity under this is taken for a fraction typed as a percentage (0.985 for 98.5 %).
LIKELY_FRACTION_PCT = 1.5


@only_where("source")
def gather(plan: DraftPlan) -> list[Quantity] | None:
    return [c.source.purity for c in components(plan) if c.source is not None and c.source.purity is not None] or None


def check(_plan: DraftPlan, found: list[Quantity]) -> Iterable[Hit]:
    for purity in found:
        value = float(purity.value)
        if value > 100 or value <= 0:
            yield Hit(f"A purity of {purity.value} % cannot be: it lies between 0 and 100 %.")
        elif value <= LIKELY_FRACTION_PCT:
            yield Hit(
                f"A purity of {purity.value} % would mean that nearly all of the bottle is something else; "
                f"{float(purity.value) * 100:g} % may be meant."
            )


RULE = Rule(
    id="purity-impossible",
    group="purity",
    title="The purity stated is possible",
    severity="stop",
    applies_to="requests that state a purity",
    citation=(cite("practice", "a mass fraction lies between 0 and 1"),),
    rationale="The mass is divided by the purity: a slip there multiplies the mass.",
    remedy="Read the assay on the label again; it is a percentage by mass.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "1 L of 0.1 M potassium hydroxide, purity 185 %",
            "fired",
            "A purity of 185 % cannot be: it lies between 0 and 100 %.",
        ),
        Example("1 L of 0.1 M potassium hydroxide, purity 85 %", "passed"),
        Example("1 L of 0.1 M potassium hydroxide", "not_applicable"),
    ),
)
