"""Says which solution needs a vented cap."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.tables.handling import Storage, storage
from rules.tables.load import cite

Kept = list[tuple[Ingredient, Storage]]


def gather(plan: DraftPlan) -> Kept | None:
    found = [(item, kept) for item in plan.ingredients if (kept := storage(item.substance.slug, item.target_mol_L)) is not None]
    return found or None


def check(_plan: DraftPlan, found: Kept) -> Iterable[Hit]:
    for item, kept in found:
        if "vented" in kept.closure:
            yield Hit(f"{sentence(item.substance.name)} solution is closed with a {kept.closure}, never a tight one.", cites=(kept.cite,))


RULE = Rule(
    id="vented-cap",
    group="container",
    title="The cap fits the solution",
    severity="caution",
    applies_to="solutions with a held kind of bottle",
    citation=(cite("practice", "common practice"),),
    rationale="Oxygen or chlorine collects over the solution and bursts a tight bottle.",
    remedy="Fit a vented cap and write it on the label.",
    gather=gather,
    check=check,
    examples=(
        Example("250 mL of 0.5 M hydrogen peroxide from 30 %", "fired",
                "Hydrogen peroxide solution is closed with a vented cap, never a tight one."),
        Example("1 L of 0.1 M sodium chloride", "passed"),
    ),
)
