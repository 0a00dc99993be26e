"""Solutions that light changes are kept in the dark."""

from collections.abc import Iterable

from rules.handled import Trait, bottle_asked, told, with_trait
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.groups import groups_of
from rules.tables.load import cite

DARK_GLASS = frozenset({"silver-salt", "halogen"})


@only_where("light-sensitive")
def gather(plan: DraftPlan) -> list[Trait] | None:
    # Silver and the halogens have a rule of their own, which asks for dark glass.
    found = with_trait(plan, "light-sensitive")
    return found and ([one for one in found if groups_of(one[0].substance.slug).isdisjoint(DARK_GLASS)] or None)


def check(plan: DraftPlan, found: list[Trait]) -> Iterable[Hit]:
    bottle = bottle_asked(plan)
    if bottle is not None and bottle.material == "amber":
        return
    for item, trait in found:
        yield Hit(f"Light changes {item.substance.name} solution: {told(trait)}.", cites=(trait.cite,))


RULE = Rule(
    id="light-sensitive",
    group="light_and_air",
    title="Light-sensitive solutions stand in the dark",
    severity="caution",
    applies_to="substances that light decomposes",
    citation=(cite("practice", "common practice"),),
    rationale="The strength falls in a clear bottle on the bench within hours to weeks.",
    remedy="Use an amber bottle or wrap the bottle in foil, and put it in a cupboard at once.",
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.02 M potassium permanganate", "fired",
                "Light changes potassium permanganate solution: amber glass, in the dark."),
        Example("25 % w/v potassium iodide 100 mL brown bottle", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
