"""Says where the solution has to stand, when that is not the open shelf."""

from collections.abc import Iterable

from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.tables.handling import Storage
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Storage | None:
    return plan.storage if plan.main is not None else None


def check(plan: DraftPlan, kept: Storage) -> Iterable[Hit]:
    if kept.condition and kept.condition != "room temperature" and plan.main is not None:
        yield Hit(f"{sentence(plan.main.substance.name)} solution is kept: {kept.condition}.", cites=(kept.cite,))


RULE = Rule(
    id="where-it-is-kept",
    group="stability",
    title="It may stand on the open shelf",
    severity="note",
    applies_to="solutions with a held place of storage",
    citation=(cite("practice", "common practice"),),
    rationale="Cold, dark, locked or apart: what the shelf must do is decided before the bottle is filled.",
    remedy="Put it there as soon as it is labelled.",
    gather=gather,
    check=check,
    examples=(
        Example("100 mL of 1 % w/v starch", "fired", "Starch (soluble) solution is kept: refrigerated 2-8 C."),
        Example("1 L of 0.1 M sodium chloride", "passed"),
        Example("make some acid", "not_applicable"),
    ),
)
