"""Says when a salt gains or loses water in an opened bottle, so that its mass no longer tells the amount."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import behaves, must_be_exact, named, weighed
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.behaviour import Behaviour
from rules.tables.load import cite

_KINDS = ("efflorescent", "deliquescent")


@only_where(*_KINDS)
def gather(plan: DraftPlan) -> list[tuple[Ingredient, Behaviour]] | None:
    found = [(item, held) for item in weighed(plan) for kind in _KINDS if (held := behaves(item, kind))]
    return found or None


def check(plan: DraftPlan, found: list[tuple[Ingredient, Behaviour]]) -> Iterable[Hit]:
    for item, held in found:
        change = "loses water of crystallisation" if held.behaviour == "efflorescent" else "takes up water from the air"
        shift = "come out stronger than planned" if held.behaviour == "efflorescent" else "come out weaker than planned"
        yield Hit(
            sentence(f"{named(item)} {change}: from an old or badly closed bottle the solution would {shift}."),
            severity="caution" if must_be_exact(plan) else "note",
            cites=(held.cite,),
        )


RULE = Rule(
    id="water-may-have-changed",
    group="identity",
    title="The water content of the solid keeps in the bottle",
    severity="note",
    applies_to="efflorescent and deliquescent solids",
    citation=(cite("practice", "common practice"),),
    rationale="The balance cannot tell salt from water.",
    remedy="Use a sound, well closed bottle; if the strength matters, make it nominal and standardise.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.1 M sodium carbonate decahydrate 250 mL",
            "fired",
            "Sodium carbonate decahydrate loses water of crystallisation: from an old or badly closed bottle "
            "the solution would come out stronger than planned.",
        ),
        Example("0.1 M potassium chloride 250 mL", "not_applicable"),
    ),
)
