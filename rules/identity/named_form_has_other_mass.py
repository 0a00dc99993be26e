"""Where the strength counts one form and another is weighed, both masses are shown."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import full_name, named, weighed
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.signs import only_where
from rules.tables.load import cite


@only_where("source")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    found = [item for item in weighed(plan) if item.component.source is not None]
    return found or None


def check(_plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    for item in found:
        counted, form = item.counted, item.form
        if counted.key == form.key or not counted.molar_mass or not form.molar_mass or item.mass_g is None:
            continue
        other = item.mass_g * counted.molar_mass / form.molar_mass
        yield Hit(
            f"The strength counts {full_name(item.substance, counted)} but {named(item)} is weighed: "
            f"{say(item.mass_g, 'g', 4)} goes in, not {say(other, 'g', 4)}."
        )


RULE = Rule(
    id="named-form-has-other-mass",
    group="identity",
    title="The mass is that of the form weighed",
    severity="caution",
    applies_to="solids weighed from a form the request names",
    citation=(cite("practice", "common practice: the strength stays, the mass follows the bottle"),),
    rationale="The shelf often has another hydrate than the recipe names; the mass must be that of the bottle.",
    remedy="Check the formula on the bottle against the form named here.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "250 mL of 0.1 M anhydrous sodium carbonate from the decahydrate",
            "fired",
            "The strength counts anhydrous sodium carbonate but sodium carbonate decahydrate is weighed: "
            "7.153 g goes in, not 2.650 g.",
        ),
        Example("250 mL of 0.05 M oxalic acid from the dihydrate", "passed"),
        Example("250 mL of 0.1 M sodium chloride", "not_applicable"),
    ),
)
