"""Refuses a dilution that would have to make the stock stronger."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.signs import only_where
from rules.tables.load import cite


@only_where("poured")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    if plan.total_mL is None:
        return None
    return [item for item in plan.ingredients if item.kind != "solid" and item.volume_mL is not None] or None


def check(plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    total = plan.total_mL or 0.0
    for item in found:
        wanted, source = item.component.strength, item.component.source
        if item.volume_mL is None or item.volume_mL <= total * (1 + 1e-6):
            continue
        bottle = (
            f"{source.strength.value} {source.strength.unit}"
            if source and source.strength
            else f"{item.stock_mass_pct:g} %"
            if item.stock_mass_pct
            else "the undiluted"
        )
        asked = f"{wanted.value} {wanted.unit}" if wanted else "the strength asked for"
        yield Hit(
            f"{asked} cannot be made from {bottle} {item.substance.name}: {say(total, 'mL')} would need {say(item.volume_mL, 'mL')} of it."
        )


RULE = Rule(
    id="stock-weaker-than-target",
    group="solubility",
    title="The stock is stronger than what is wanted",
    severity="stop",
    applies_to="solutions made from a stock, a concentrated reagent or a liquid",
    citation=(cite("practice", "the amount of solute in the stock is all there is"),),
    rationale="Adding water never makes a solution stronger.",
    remedy="Start from a stronger stock or from the solid; the two strengths may also have been swapped.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "make 500 mL of 2 M HCl from 0.5 M HCl",
            "fired",
            "2 mol/L cannot be made from 0.5 mol/L hydrochloric acid: 500 mL would need 2000 mL of it.",
        ),
        Example("make 500 mL of 0.5 M HCl from 2 M HCl", "passed"),
        Example("500 mL of 0.5 M NaCl", "not_applicable"),
    ),
)
