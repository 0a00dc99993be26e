"""Where no form was named and the usual one was taken, says so with the mass of the other form."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import named, weighed
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.signs import only_where
from rules.tables.load import cite


@only_where("forms")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    return [item for item in weighed(plan) if item.form.unstated and len(item.substance.sold_forms) > 1] or None


def check(plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    for item in found:
        taken = f"{item.substance.name}: no form was stated"
        if not any(line.startswith(taken) for line in plan.assumptions) or item.mass_g is None:
            continue
        for other in item.substance.sold_forms:
            if other.key != item.form.key and other.molar_mass and item.form.molar_mass:
                instead = item.mass_g * other.molar_mass / item.form.molar_mass
                yield Hit(
                    f"No form of {item.substance.name} was named, so {named(item)} is taken: {say(item.mass_g, 'g', 4)}. "
                    f"The {other.label} would need {say(instead, 'g', 4)} for the same amount of substance."
                )


RULE = Rule(
    id="form-taken-as-usual",
    group="identity",
    title="The form was named, not taken as usual",
    severity="note",
    applies_to="substances whose bare name nearly always means one form",
    citation=(cite("practice", "common practice, see the form's own row"),),
    rationale="An assumption that changes the mass must be seen by the person who weighs.",
    remedy="If the bottle holds another form, ask again and name it.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "glucose 5% w/v 100 mL",
            "fired",
            "No form of D-glucose was named, so anhydrous D-glucose is taken: 5.000 g. The monohydrate would "
            "need 5.500 g for the same amount of substance.",
        ),
        Example("glucose monohydrate 5% w/v 100 mL", "not_applicable"),
        Example("anhydrous glucose 5% w/v 100 mL", "passed"),
    ),
)
