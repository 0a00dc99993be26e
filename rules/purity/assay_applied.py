"""Where an assay was given, shows the mass with it and without it."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import weighed
from rules.rule import Example, Hit, Rule
from rules.saying import figures, say
from rules.signs import only_where
from rules.tables.load import cite


@only_where("assay")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    return [item for item in weighed(plan) if item.purity_stated] or None


def check(_plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    for item in found:
        if item.mass_g is not None and item.purity != 1:
            yield Hit(
                f"The assay of {figures(item.purity * 100, 4).rstrip('0').rstrip('.')} % raises the mass from "
                f"{say(item.mass_g * item.purity, 'g', 4)} to {say(item.mass_g, 'g', 4)}."
            )


RULE = Rule(
    id="assay-applied",
    group="purity",
    title="The assay is 100 %, so the mass stands as it is",
    severity="note",
    applies_to="solids whose assay was given",
    citation=(cite("practice", "common practice: mass divided by the assay as a fraction"),),
    rationale="The person checking the sum must see which of the two masses was meant.",
    remedy="Check the assay on the label of the lot in use.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "1 L of 0.1 M potassium hydroxide pellets, label says 85 %",
            "fired",
            "The assay of 85 % raises the mass from 5.611 g to 6.601 g.",
        ),
        Example("1 L of 0.1 M sodium chloride, assay 100 %", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
