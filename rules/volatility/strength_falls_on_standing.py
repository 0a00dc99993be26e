"""Says when a solution does not keep its strength."""

from collections.abc import Iterable

from rules.handled import Trait, told, with_trait
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.handling import storage
from rules.tables.load import cite

# A solution that keeps for half a year needs no warning.
LASTS_DAYS = 180


@only_where("decomposes")
def gather(plan: DraftPlan) -> list[Trait] | None:
    return with_trait(plan, "decomposes")


def check(_plan: DraftPlan, found: list[Trait]) -> Iterable[Hit]:
    for item, trait in found:
        kept = storage(item.substance.slug, item.target_mol_L)
        days = kept.shelf_life_days if kept is not None else None
        if days is not None and days >= LASTS_DAYS:
            continue
        until = f"count on the figure for {days} day{'s' if days != 1 else ''} at most" if days else "for how long is not held"
        yield Hit(f"{sentence(item.substance.name)} solution loses strength on standing ({told(trait)}): {until}.",
                  cites=(trait.cite,))


RULE = Rule(
    id="strength-falls-on-standing",
    group="volatility",
    title="The strength lasts",
    severity="note",
    applies_to="solutions that lose gas or decompose",
    citation=(cite("practice", "common practice"),),
    rationale="The label states the strength on the day it was made; the drift shows only in the result.",
    remedy="Write the date on the label, keep the bottle full and closed, and standardise again before accurate work.",
    gather=gather,
    check=check,
    examples=(
        Example("250 mL of 0.5 M hydrogen peroxide from 30 %", "fired",
                "Hydrogen peroxide solution loses strength on standing (loses oxygen; dilution loses the stabiliser; "
                "titrate before use): count on the figure for 14 days at most."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
