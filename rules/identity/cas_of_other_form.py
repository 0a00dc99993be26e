"""The CAS number that was given belongs to the form that is planned."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import named
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite
from rules.tables.substances import by_cas


@only_where("CAS")
def gather(plan: DraftPlan) -> list[tuple[Ingredient, str]] | None:
    found: list[tuple[Ingredient, str]] = []
    for item in plan.ingredients:
        if item.component.solute.cas:
            found.append((item, item.component.solute.cas))
        source = item.component.source
        if source is not None and source.named is not None and source.named.cas:
            found.append((item, source.named.cas))
    return found or None


def check(_plan: DraftPlan, found: list[tuple[Ingredient, str]]) -> Iterable[Hit]:
    for item, cas in found:
        for match in by_cas(cas):
            held = match.substance.form(match.label) if match.label else None
            if held is not None and held.key not in (item.form.key, item.counted.key):
                yield Hit(
                    f"CAS {cas} is {held.formula or match.substance.name}, but {named(item)} "
                    f"({item.form.cas or 'no CAS number held'}) was asked for."
                )


RULE = Rule(
    id="cas-of-other-form",
    group="identity",
    title="The CAS number fits the form",
    severity="stop",
    applies_to="requests that give a CAS number",
    citation=(cite("cas-registry", "one number for each form"),),
    rationale="Each hydrate has its own number; when name and number disagree, one of them is wrong and the mass with it.",
    remedy="Copy the number or the name from the bottle again; one of the two must change.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "100 mL of 0.1 M anhydrous nickel chloride CAS 7791-20-0",
            "fired",
            "CAS 7791-20-0 is NiCl2.6H2O, but anhydrous nickel(II) chloride (7718-54-9) was asked for.",
        ),
        Example("100 mL of 0.1 M nickel chloride hexahydrate CAS 7791-20-0", "passed"),
        Example("100 mL of 0.1 M nickel chloride hexahydrate", "not_applicable"),
    ),
)
