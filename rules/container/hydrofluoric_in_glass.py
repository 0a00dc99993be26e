"""Hydrofluoric acid and acid fluorides never touch glass."""

from collections.abc import Iterable

from rules.handled import GLASSWARE, attacks_glass, names, vessels_asked
from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.load import cite


@only_where("group fluoride")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    return attacks_glass(plan) or None


def check(plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    name = names(item.substance for item in found)
    for asked in vessels_asked(plan):
        if asked.material != "plastic" and (asked.material is not None or asked.kind in GLASSWARE):
            yield Hit(f"A glass {asked.kind.replace('-', ' ') or 'vessel'} was asked for, and {name} dissolves glass.",
                      "Ask again with a plastic vessel, for example 'in a polypropylene bottle'; it will still need permission.",
                      severity="stop", approvable=False)
            return
    yield Hit(f"{sentence(name)} dissolves glass, so no glass may be used anywhere in this preparation, "
              "the volumetric flask and the measuring cylinder included.")


RULE = Rule(
    id="hydrofluoric-in-glass",
    group="container",
    title="No hydrofluoric acid in glass",
    severity="hold",
    applies_to="hydrofluoric acid, acid fluorides, and fluorides with an acid",
    citation=(cite("practice", "common practice: hydrofluoric acid in plastic only"),),
    rationale=("The acid eats through glass and sets a bottle under pressure; a burn goes to the bone and is felt "
               "too late."),
    remedy=("Polythene, polypropylene or PTFE only, by a trained person with calcium gluconate gel at hand and "
            "never alone."),
    gather=gather,
    check=check,
    examples=(
        Example("5 % w/w hydrofluoric acid 250 mL in a glass volumetric flask", "fired",
                "A glass volumetric flask was asked for, and hydrofluoric acid dissolves glass."),
        Example("250 mL of 0.1 M sodium fluoride", "not_applicable"),
    ),
)
