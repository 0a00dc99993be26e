"""The solid or the reagent that is handled may burn although the solution does not."""

from collections.abc import Iterable

from rules.made import handled, made
from rules.plan import DraftPlan, Ingredient
from rules.reading import named
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.signs import only_where
from rules.tables.load import cite


@only_where("handled Skin Corr.")
def gather(plan: DraftPlan) -> list[tuple[Ingredient, str]] | None:
    found = [(item, next((label for label, _ in handled(item, plan.policy) if label.startswith("Skin Corr.")), ""))
             for item in plan.ingredients]
    return [(item, label) for item, label in found if label] or None


def check(plan: DraftPlan, found: list[tuple[Ingredient, str]]) -> Iterable[Hit]:
    if made(plan, "Skin Corr."):
        return
    for item, label in found:
        much = f"{say(item.mass_g, 'g')} of " if item.mass_g is not None else f"{say(item.volume_mL, 'mL')} of " if item.volume_mL else ""
        strength = f" {item.stock_mass_pct:g} % w/w" if item.stock_mass_pct else ""
        yield Hit(f"{much}{named(item)}{strength} is handled and is {label}, though the made solution is under the limit.")


RULE = Rule(
    id="corrosive-handled",
    group="hazard",
    title="What is handled does not burn",
    severity="caution",
    applies_to="corrosive solids and reagents",
    citation=(cite("clp-annex-vi", "Table 3, entry of the substance"),),
    rationale="The burn happens with the reagent bottle in the hand.",
    remedy="Goggles, gloves and apron until the reagent is diluted; a face shield for pouring from a large bottle.",
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.1 M hydrochloric acid from 37 % density 1.18", "fired",
                "8.35 mL of hydrochloric acid 37 % w/w is handled and is Skin Corr. 1B, though the made solution is "
                "under the limit."),
        Example("500 mL of 1 M sodium hydroxide", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
