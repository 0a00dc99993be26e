"""Says which bottle was assumed when a concentrated reagent was named without its strength."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import figures
from rules.signs import only_where
from rules.tables.load import cite


@only_where("bottle strength")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    return [item for item in plan.ingredients if item.stock_mass_pct is not None and item.kind != "stock"] or None


def check(_plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    for item in found:
        if item.reagent_stated or item.reagent is None:
            continue
        molar = f", {figures(item.stock_mol_L)} mol/L" if item.stock_mol_L else ""
        yield Hit(
            f"No strength was given for the bottle of {item.substance.name}: it is taken as {item.stock_mass_pct:g} % by mass "
            f"with a density of {item.stock_density:g} g/mL{molar}.",
            cites=(item.reagent.cite,),
        )


RULE = Rule(
    id="reagent-strength-assumed",
    group="purity",
    title="The strength of the bottle was given",
    severity="note",
    applies_to="solutions made from a concentrated reagent",
    citation=(cite("practice", "the strength most bottles carry, see the reagent's own row"),),
    rationale="Bottles of several strengths are sold under one name, and the volume follows the bottle.",
    remedy="Compare with the label; if it differs, ask again with its percentage and density.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "1 L of 0.1 M HCl",
            "fired",
            "No strength was given for the bottle of hydrochloric acid: it is taken as 37 % by mass with a "
            "density of 1.185 g/mL, 12.0 mol/L.",
        ),
        Example("1 L of 0.1 M HCl from 37 %, density 1.18", "passed"),
        Example("1 L of 0.1 M NaCl", "not_applicable"),
    ),
)
