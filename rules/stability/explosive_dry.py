"""Substances that explode when dry or in bad company are handled only with permission."""

from collections.abc import Iterable

from rules.handled import Trait, told, with_trait
from rules.made import entry_of
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.groups import groups_of
from rules.tables.load import cite


@only_where("explosive-dry")
def gather(plan: DraftPlan) -> list[Trait] | None:
    return with_trait(plan, "explosive-dry")


def check(_plan: DraftPlan, found: list[Trait]) -> Iterable[Hit]:
    for item, trait in found:
        entry = entry_of(item)
        itself = "nitro-explosive" in groups_of(item.substance.slug) or (
            entry is not None and any(one.hazard_class == "Expl." for one in entry.classes))
        if itself:
            yield Hit(f"{sentence(item.substance.name)} can explode: {told(trait)}.", cites=(trait.cite,))
        else:
            yield Hit(f"{sentence(item.substance.name)} is kept from what it can explode with: {told(trait)}.", severity="note",
                      cites=(trait.cite,))


RULE = Rule(
    id="explosive-dry",
    group="stability",
    title="Nothing here explodes on drying",
    severity="hold",
    applies_to="substances that are explosive when dry, or form explosive compounds",
    citation=(cite("practice", "common practice"),),
    rationale="A crust in the thread of an old cap is enough.",
    remedy="Do not open a bottle that looks dry. Tell the safety officer first; wipe spills wet and rinse them away.",
    gather=gather,
    check=check,
    examples=(
        Example("100 mL of 0.01 M 2,4-dinitrophenylhydrazine", "fired",
                "2,4-dinitrophenylhydrazine can explode: explosive when dry; sold and kept wetted (about 33 % water); "
                "check the wetting each year; dry solid is not touched."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
