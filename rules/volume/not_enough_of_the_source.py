"""Stops a plan that needs more of the stock than was said to be there."""

from collections.abc import Iterable

from grammar.units import UNITS
from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.signs import only_where
from rules.tables.load import cite


@only_where("source")
def gather(plan: DraftPlan) -> list[tuple[Ingredient, float, float]] | None:
    found = []
    for item in plan.ingredients:
        source = item.component.source
        if source is not None and source.volume is not None and item.volume_mL is not None:
            there, exponent = source.volume, source.volume.value.as_tuple().exponent
            factor = float(UNITS[there.unit].factor)
            # "8.3 mL" may be 8.34 mL: half a unit of the last digit typed is no shortage.
            found.append((item, float(there.value) * factor, 0.5 * 10.0 ** int(exponent) * factor))
    return found or None


def check(plan: DraftPlan, found: list[tuple[Ingredient, float, float]]) -> Iterable[Hit]:
    for item, there, rounding in found:
        needed = item.volume_mL or 0.0
        if needed > max(there * 1.001, there + min(rounding, 0.02 * there)) and plan.total_mL:
            most = say(plan.total_mL * there / needed, "mL")
            yield Hit(
                f"{say(needed, 'mL')} of {item.substance.name} is needed, and only {say(there, 'mL')} is there.",
                f"Make at most {most} at this strength, or find more of the stock.",
            )


RULE = Rule(
    id="not-enough-of-the-source",
    group="volume",
    title="There is enough of the stock",
    severity="stop",
    applies_to="dilutions of a stated volume of stock",
    citation=(cite("practice", "common practice"),),
    rationale="A plan for more than is there would be made up too weak.",
    remedy="Make less, or find more of the stock.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "100 mL of 0.1 M NaCl from 2 mL of 1 M NaCl",
            "fired",
            "10.0 mL of sodium chloride is needed, and only 2.00 mL is there.",
        ),
        Example("100 mL of 0.1 M NaCl from 20 mL of 1 M NaCl", "passed"),
        Example("100 mL of 0.1 M NaCl", "not_applicable"),
    ),
)
