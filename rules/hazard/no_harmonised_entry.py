"""Says when no classification in law is held for a substance."""

from collections.abc import Iterable

from rules.handled import names
from rules.made import entry_of
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule, Unchecked
from rules.saying import sentence
from rules.tables.load import cite


def gather(plan: DraftPlan) -> list[str] | Unchecked | None:
    if not plan.ingredients:
        return None
    listed = [(item.substance.name, entry) for item in plan.ingredients if (entry := entry_of(item)) is not None]
    none = [name for name, entry in listed if entry.status == "none" and not entry.classes]
    if none:
        return Unchecked(f"No harmonised entry for {names(none)}: take the supplier's sheet. "
                         "Nothing is said about whether it is harmless.")
    return [name for name, entry in listed if entry.status == "supplier"]


def check(_plan: DraftPlan, found: list[str]) -> Iterable[Hit]:
    if found:
        yield Hit(f"{sentence(names(found))} has no harmonised entry; the classes used are those that suppliers usually give.")


RULE = Rule(
    id="no-harmonised-entry",
    group="hazard",
    title="A classification in law is held",
    severity="note",
    applies_to="every solution",
    citation=(cite("clp-annex-vi", "Table 3"),),
    rationale="No entry means that nobody classified it by law, not that it is harmless.",
    remedy="Compare with section 2 of the sheet of the bottle in hand and correct the label by it.",
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.1 M sodium chloride", "unchecked",
                "No harmonised entry for sodium chloride: take the supplier's sheet. Nothing is said about whether it "
                "is harmless."),
        Example("500 mL of 0.5 M sodium hydroxide", "passed"),
        Example("make some acid", "not_applicable"),
    ),
)
