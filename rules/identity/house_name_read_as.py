"""A trade or old name is echoed with the systematic name it was read as."""

import re
from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite
from rules.tables.names import key_of
from rules.tables.substances import by_name

_KINDS = frozenset({"trade", "old", "misspelling"})
_STATE = re.compile(r"\([ivx]+\)", re.IGNORECASE)


def gather(plan: DraftPlan) -> list[Ingredient] | None:
    return [item for item in plan.ingredients if item.component.solute.name] or None


def check(_plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    for item in found:
        typed, name = item.component.solute.name, item.substance.name
        kinds = {match.kind for match in by_name(typed) if match.substance.slug == item.substance.slug}
        # Leaving out an oxidation state that only one salt has is no other name.
        if kinds and kinds <= _KINDS and key_of(typed) != key_of(_STATE.sub("", name)):
            formula = f" ({item.substance.formula})" if item.substance.formula else ""
            yield Hit(f"'{typed}' is read as {name}{formula}.")


RULE = Rule(
    id="house-name-read-as",
    group="identity",
    title="The name is a systematic one",
    severity="note",
    applies_to="solutes given by name",
    citation=(cite("iupac-redbook-2005", "the systematic name stands on plan and label"),),
    rationale="The person who weighs must see which bottle an old or trade name was taken to mean.",
    remedy="Check that the bottle carries that name.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.1 M caustic soda 250 mL",
            "fired",
            "'caustic soda' is read as sodium hydroxide (NaOH).",
        ),
        Example("0.1 M sodium hydroxide 250 mL", "passed"),
        Example("0.1 M NaOH 250 mL", "not_applicable"),
    ),
)
