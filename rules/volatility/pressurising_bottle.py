"""Solutions that give off gas are not stoppered tight."""

from collections.abc import Iterable

from rules.handled import Trait, told, with_trait
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.load import cite


@only_where("gas-evolving")
def gather(plan: DraftPlan) -> list[Trait] | None:
    # Rows that begin "with ..." tell of gas only when something else is added.
    found = with_trait(plan, "gas-evolving")
    return found and ([(item, trait) for item, trait in found if not trait.detail.startswith("with ")] or None)


def check(_plan: DraftPlan, found: list[Trait]) -> Iterable[Hit]:
    for item, trait in found:
        yield Hit(f"{sentence(item.substance.name)} gives off gas in the bottle: {told(trait)}.", cites=(trait.cite,))


RULE = Rule(
    id="pressurising-bottle",
    group="volatility",
    title="The bottle does not build up pressure",
    severity="caution",
    applies_to="solutions that give off gas by themselves",
    citation=(cite("practice", "common practice"),),
    rationale="A tight cap on a gassing solution bursts the bottle or sprays whoever opens it.",
    remedy="Use a vented cap or leave the cap a quarter turn loose, and open a warm bottle only when it has cooled.",
    gather=gather,
    check=check,
    examples=(
        Example("250 mL of 0.5 M hydrogen peroxide from 30 %", "fired",
                "Hydrogen peroxide gives off gas in the bottle: oxygen on standing; vented cap, clean bottle."),
        Example("1 L of 0.1 M sodium carbonate anhydrous", "not_applicable"),
    ),
)
