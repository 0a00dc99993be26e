"""Says what a peroxide strength in volumes was taken to be in mol/L."""

from collections.abc import Iterable

from grammar.request import Quantity
from rules.plan import DraftPlan
from rules.reading import components
from rules.rule import Example, Hit, Rule
from rules.saying import figures
from rules.signs import only_where
from rules.tables.load import cite

#: Litres of an ideal gas in one mole at 101.325 kPa, at 0 and at 20 degC (CODATA value and the gas law).
_AT_0, _AT_20 = 22.413_969_54, 24.055


@only_where("unit vol")
def gather(plan: DraftPlan) -> list[Quantity] | None:
    typed = [
        q for c in components(plan) for q in (c.strength, c.source.strength if c.source else None) if q is not None
    ]
    return [q for q in typed if q.unit == "vol"] or None


def check(_plan: DraftPlan, found: list[Quantity]) -> Iterable[Hit]:
    for strength in found:
        value = float(strength.value)
        yield Hit(
            f"{strength.value} vol is taken as {figures(2 * value / _AT_0)} mol/L of hydrogen peroxide, oxygen counted at 0 degC; "
            f"counted at 20 degC it would be {figures(2 * value / _AT_20)} mol/L."
        )


RULE = Rule(
    id="volume-strength",
    group="units",
    title="The strength is stated without volumes of oxygen",
    severity="note",
    applies_to="hydrogen peroxide in volumes",
    citation=(cite("practice", "litres of oxygen at 0 degC and 101.325 kPa from one litre of solution"),),
    rationale="Volume strength depends on the temperature the gas is counted at, and peroxide loses strength on the shelf anyway.",
    remedy="Titrate it where the strength matters.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "500 mL of 20 vol hydrogen peroxide",
            "fired",
            "20 vol is taken as 1.78 mol/L of hydrogen peroxide, oxygen counted at 0 degC; counted at 20 "
            "degC it would be 1.66 mol/L.",
        ),
        Example("500 mL of 0.5 M hydrogen peroxide", "not_applicable"),
    ),
)
