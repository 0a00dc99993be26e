"""Alkali is not kept in glass, and never under a ground-glass stopper."""

from collections.abc import Iterable

from rules.handled import Trait, bottle_asked, told, with_trait
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.load import cite


@only_where("alkali")
def gather(plan: DraftPlan) -> list[Trait] | None:
    return with_trait(plan, "alkali")


def check(plan: DraftPlan, found: list[Trait]) -> Iterable[Hit]:
    bottle = bottle_asked(plan)
    glass = bottle is not None and bottle.material in ("glass", "clear", "amber")
    for item, trait in found:
        name = sentence(item.substance.name)
        if glass:
            yield Hit(f"{name} solution was asked for in a glass bottle, which it attacks: {told(trait)}.", cites=(trait.cite,))
        else:
            yield Hit(f"{name} solution attacks glass: {told(trait)}. The volumetric flask is emptied and rinsed at once.",
                      cites=(trait.cite,))


RULE = Rule(
    id="alkali-in-glass",
    group="container",
    title="Alkali goes into plastic",
    severity="caution",
    applies_to="solutions of strong alkali, ammonia and other alkaline solutes",
    citation=(cite("aoac-942-25", "storage of alkaline solutions"),),
    rationale="Alkali dissolves glass, takes silicate up and cements a ground stopper into the neck.",
    remedy="Keep it in a polythene bottle with a plastic cap; never leave it standing in a flask or a burette.",
    gather=gather,
    check=check,
    examples=(
        Example("500 mL of 0.5 M sodium hydroxide", "fired",
                "Sodium hydroxide solution attacks glass: store in polythene or polypropylene, plastic cap; a "
                "ground-glass stopper seizes. The volumetric flask is emptied and rinsed at once."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
