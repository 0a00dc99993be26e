"""Doubts a stock that is said to hold more than dissolves, and a stock of the route that would."""

from collections.abc import Iterable

from rules.dissolving import Saturation, as_strength, dissolves, stock_grams
from rules.plan import DraftPlan, Ingredient
from rules.reading import hangs_on_ph
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite

Held = list[tuple[Ingredient, Saturation]]
CERTAIN = 1.5


@only_where("stock")
def gather(plan: DraftPlan) -> Held | None:
    return [
        (item, held)
        for item in plan.ingredients
        if item.kind == "stock"
        and item.form.state == "solid"
        and item.substance.family == "salt"
        and not hangs_on_ph(item)
        and stock_grams(item)
        and (held := dissolves(item, plan))
    ] or None


def check(_plan: DraftPlan, found: Held) -> Iterable[Hit]:
    for item, held in found:
        stock = stock_grams(item) or 0.0
        if stock > held.margin * held.high_g_L:
            # A warm room or a disputed table explains a little; nothing explains half as much again.
            beyond = stock > CERTAIN * held.margin * held.high_g_L
            word = "cannot be" if beyond else "would be over-saturated"
            yield Hit(
                f"A stock of {as_strength(item, stock)} {item.substance.name} {word}: a saturated solution holds about "
                f"{as_strength(item, held.low_g_L)} at {held.temperature_degC:g} degC.",
                severity="stop" if beyond else "caution",
                cites=held.cites,
            )


RULE = Rule(
    id="stock-beyond-solubility",
    group="solubility",
    title="The stock can be as strong as is said",
    severity="stop",
    applies_to="dilutions of a stock of a salt whose solubility is held (what an acid, a base or a buffer dissolves hangs on the pH)",
    citation=(cite("crc-98", "Aqueous solubility of inorganic compounds at various temperatures"),),
    rationale="The label or the typed strength is wrong, and with it every volume worked out from it.",
    remedy="Read the label of the stock again: mmol/L, or a percentage, may have been meant.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "100 mL of 0.05 M KCl from a 10 M stock",
            "fired",
            "A stock of 10 mol/L potassium chloride cannot be: a saturated solution holds about 4.0 mol/L at 20 degC.",
        ),
        Example("100 mL of 0.05 M KCl from 1 M stock", "passed"),
        Example("100 mL of 0.05 M KCl", "not_applicable"),
    ),
)
