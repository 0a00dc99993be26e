"""A substance whose strength cannot be made exact by weighing or measuring is called nominal until standardised."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import behaves, must_be_exact
from rules.rule import Example, Hit, Rule
from rules.saying import say, sentence
from rules.signs import only_where
from rules.tables.behaviour import Behaviour
from rules.tables.load import cite


@only_where("not-primary-standard")
def gather(plan: DraftPlan) -> list[tuple[Ingredient, Behaviour]] | None:
    return [
        (item, held)
        for item in plan.ingredients
        if item.kind != "stock" and (held := behaves(item, "not-primary-standard"))
    ] or None


def check(plan: DraftPlan, found: list[tuple[Ingredient, Behaviour]]) -> Iterable[Hit]:
    exact = must_be_exact(plan)
    for item, held in found:
        about = f"about {say(item.target_mol_L, 'mol/L')}" if item.target_mol_L else "nominal"
        wish = "The strength asked for cannot be called accurate: " if exact else ""
        name = item.substance.name if wish else sentence(item.substance.name)
        yield Hit(
            f"{wish}{name} cannot be made exact by weighing or measuring, so the solution is {about} until it is titrated "
            f"({held.detail}).",
            cites=(held.cite,),
        )


RULE = Rule(
    id="not-a-primary-standard",
    group="purity",
    title="The substance can be made exact by weighing",
    severity="caution",
    applies_to="substances of uncertain or changing composition",
    citation=(cite("practice", "common practice: titrant solutions are standardised"),),
    rationale="Water, carbonate, lost gas or slow reaction change what a weighed amount holds.",
    remedy="Label it 'nominal'; standardise it against a primary standard before anything is worked out from it.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.5 M sodium hydroxide 500 mL, accurate",
            "fired",
            "The strength asked for cannot be called accurate: sodium hydroxide cannot be made exact by "
            "weighing or measuring, so the solution is about 0.500 mol/L until it is titrated (carbonate and "
            "water in the pellets; standardise against potassium hydrogen phthalate).",
        ),
        Example("0.5 M sodium chloride 500 mL, accurate", "not_applicable"),
        Example("Dilute 1 M sodium hydroxide to 500 mL of 0.1 M", "not_applicable"),
    ),
)
