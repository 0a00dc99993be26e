"""Says which formula must stand on the bottle, when the salt is sold in several forms."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import weighed
from rules.rule import Example, Hit, Rule
from rules.saying import figures
from rules.signs import only_where
from rules.tables.load import cite


@only_where("forms")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    return [item for item in weighed(plan) if len(item.substance.sold_forms) > 1 and item.form.molar_mass] or None


def check(_plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    for item in found:
        others = [form for form in item.substance.sold_forms if form.key != item.form.key and form.molar_mass]
        if not others or not item.form.molar_mass:
            continue
        other = max(others, key=lambda form: abs((form.molar_mass or 0) - (item.form.molar_mass or 0)))
        ratio = item.form.molar_mass / (other.molar_mass or 1)
        yield Hit(
            f"The mass holds for {item.form.formula} ({item.form.molar_mass:.2f} g/mol). Weighed from a bottle of "
            f"{other.formula} ({other.molar_mass:.2f} g/mol) it would give {figures(ratio)} times the strength."
        )


RULE = Rule(
    id="bottle-must-show-the-form",
    group="identity",
    title="The bottle shows the form the mass was worked out for",
    severity="note",
    applies_to="solids sold in more than one form",
    citation=(cite("practice", "common practice: read the formula on the bottle before weighing"),),
    rationale="The forms stand side by side on the shelf and the error leaves no trace.",
    remedy="Read the formula on the bottle before weighing.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "500 mL of 0.1 M copper sulfate pentahydrate",
            "fired",
            "The mass holds for CuSO4.5H2O (249.68 g/mol). Weighed from a bottle of CuSO4 (159.60 g/mol) it "
            "would give 1.56 times the strength.",
        ),
        Example("500 mL of 0.1 M sodium chloride", "not_applicable"),
    ),
)
