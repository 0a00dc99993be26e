"""Oxidisers are kept from everything that burns."""

from collections.abc import Iterable

from rules.made import handled
from rules.plan import DraftPlan, Ingredient
from rules.reading import named
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.load import cite


@only_where("handled Ox. Gas", "handled Ox. Liq.", "handled Ox. Sol.")
def gather(plan: DraftPlan) -> list[tuple[Ingredient, str]] | None:
    found = [(item, next((f"{label} ({code})" for label, code in handled(item, plan.policy) if label.startswith("Ox.")), ""))
             for item in plan.ingredients]
    return [(item, label) for item, label in found if label] or None


def check(_plan: DraftPlan, found: list[tuple[Ingredient, str]]) -> Iterable[Hit]:
    for item, label in found:
        strength = f" {item.stock_mass_pct:g} % w/w" if item.stock_mass_pct else ""
        yield Hit(f"{sentence(named(item))}{strength} as handled is an oxidiser: {label}.")


RULE = Rule(
    id="oxidiser-handled",
    group="hazard",
    title="No oxidiser is handled",
    severity="caution",
    applies_to="oxidising solids and liquids",
    citation=(cite("clp-annex-vi", "Table 3, entry of the substance"),),
    rationale="Paper, tissue, sugar or solvent with an oxidiser catches fire, some hours later in the bin.",
    remedy=("Weigh in glass, wipe spills with much water and not with dry tissue, and keep it from solvents and "
            "other organics."),
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.02 M potassium permanganate", "fired",
                "Potassium permanganate as handled is an oxidiser: Ox. Sol. 2 (H272)."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
