"""The label can state everything it must: name, strength, hazards, use-by and storage."""

from collections.abc import Iterable

from rules.handled import names
from rules.made import entry_of
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule, Unchecked
from rules.tables.handling import storage
from rules.tables.load import cite


def gather(plan: DraftPlan) -> list[str] | Unchecked | None:
    if not plan.ingredients or plan.opens or plan.problem:
        return None
    missing = []
    if not all(item.target_mol_L or item.target_g_L or item.component.strength for item in plan.ingredients):
        missing.append("strength")
    if any((kept := storage(item.substance.slug, item.target_mol_L)) is None or kept.shelf_life_days is None for item in plan.ingredients):
        missing.append("use-by and storage")
    if plan.hazards is None or plan.hazards.unknown or any(entry_of(item) is None for item in plan.ingredients):
        said = f", {names(missing)}," if missing else ""
        return Unchecked(f"The label cannot be completed from here: the hazards of {names(i.substance for i in plan.ingredients)}"
                         f"{said} must be filled in from the supplier's sheet.")
    return missing


def check(_plan: DraftPlan, missing: list[str]) -> Iterable[Hit]:
    if missing:
        yield Hit(f"The label lacks the {names(missing)}.")


RULE = Rule(
    id="label-incomplete",
    group="labelling",
    title="The label can be completed",
    severity="caution",
    applies_to="every solution",
    citation=(cite("practice", "common practice: full name, strength as made, date, maker, hazards, use-by, storage"),),
    rationale="A bottle whose label leaves something open cannot be used, stored or thrown away safely.",
    remedy="Fill in what is missing by hand, with date and initials, before the bottle leaves the bench.",
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.1 M sodium chloride", "unchecked",
                "The label cannot be completed from here: the hazards of sodium chloride must be filled in from the "
                "supplier's sheet."),
        Example("500 mL of 0.5 M sodium hydroxide", "passed"),
        Example("make some acid", "not_applicable"),
    ),
)
