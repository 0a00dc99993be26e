"""Says what the classification of each substance rests on when it is not a text in law that was read."""

from collections.abc import Iterable

from rules.handled import names
from rules.made import entry_of
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule, Unchecked
from rules.saying import sentence
from rules.tables.hazards import HazardEntry
from rules.tables.load import cite, source

Listed = list[tuple[str, HazardEntry]]
# Corrosion of metals is found by test and never carried to a solution; its own rule tells of it.
_TESTED_ONLY = "H290"


def gather(plan: DraftPlan) -> Listed | Unchecked | None:
    if not plan.ingredients:
        return None
    listed = [(item.substance.name, entry) for item in plan.ingredients if (entry := entry_of(item)) is not None]
    bare = [(name, entry) for name, entry in listed if entry.status in ("unclassed", "none") and not entry.classes]
    if bare:
        read = "".join(f" No classification of {name} in {source(entry.cite.source_id).reference} ({entry.cite.locator})."
                       for name, entry in bare if entry.status == "unclassed")
        return Unchecked(f"No harmonised entry for {names(name for name, _ in bare)}: take the supplier's sheet.{read} "
                         "Nothing is said about whether it is harmless.")
    return listed


def check(_plan: DraftPlan, found: Listed) -> Iterable[Hit]:
    for name, entry in found:
        whole = len(entry.remembered) == len({one.h_code for one in entry.classes})
        if entry.status == "published":
            yield Hit(f"{sentence(name)} has no harmonised entry; the classes used are those of "
                      f"{source(entry.cite.source_id).reference} ({entry.cite.locator}).")
        elif entry.status == "supplier" and whole:
            yield Hit(f"{sentence(name)} has no harmonised entry; the classes used are those that suppliers usually give, from memory.")
            continue
        codes = [code for code in entry.remembered if code != _TESTED_ONLY]
        if codes:
            yield Hit(f"Of the classes of {name}, {', '.join(codes)} rest{'s' if len(codes) == 1 else ''} "
                      "on memory, not on a text that was read: more may apply.")


RULE = Rule(
    id="no-harmonised-entry",
    group="hazard",
    title="A classification in law is held",
    severity="note",
    applies_to="every solution",
    citation=(cite("clp-annex-vi", "Table 3"),),
    rationale="No entry means that nobody classified it by law, not that it is harmless; what is remembered may be incomplete.",
    remedy="Compare with section 2 of the sheet of the bottle in hand and correct the label by it.",
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.1 M potassium ferricyanide", "unchecked",
                "No harmonised entry for potassium hexacyanoferrate(III): take the supplier's sheet. Nothing is said about whether it "
                "is harmless."),
        Example("500 mL of 0.1 M potassium bromide", "fired",
                "Potassium bromide has no harmonised entry; the classes used are those that suppliers usually give, from memory."),
        Example("1 L of 0.1 M ethanolamine", "fired",
                "Of the classes of ethanolamine, H332, H312, H302, H314 rest on memory, not on a text that was read: more may "
                "apply."),
        Example("500 mL of 0.5 M sodium hydroxide", "passed"),
        Example("make some acid", "not_applicable"),
    ),
)
