"""Where a strength counts an element or ion only, says how much salt that takes."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import measure_of, named
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.signs import only_where
from rules.tables.load import cite


@only_where("counted as")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    return [
        item for item in plan.ingredients if item.component.strength is not None and item.component.strength.of
    ] or None


def check(plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    for item in found:
        basis = item.component.strength.of if item.component.strength else None
        line = measure_of(plan, item)
        if line is None or item.moles is None or not item.basis_g_per_mol or item.kind != "solid":
            continue
        yield Hit(
            f"The strength counts {basis} only: {say(item.moles * item.basis_g_per_mol, 'g', 4)} of {basis} is in "
            f"{say(item.moles * (item.form.molar_mass or 0), 'g', 4)} of {named(item)}."
        )


RULE = Rule(
    id="element-basis",
    group="identity",
    title="The basis of the strength is stated",
    severity="note",
    applies_to='strengths stated "as" an element or ion',
    citation=(cite("practice", "common practice: the basis stands on the plan and on the label"),),
    rationale="100 mg/L of copper and 100 mg/L of copper sulfate differ fourfold.",
    remedy='Write the basis on the label, for example "as Cu".',
    gather=gather,
    check=check,
    examples=(
        Example(
            "250 mL of 1000 mg/L Cu from copper sulfate pentahydrate",
            "fired",
            "The strength counts Cu only: 0.2500 g of Cu is in 0.9823 g of copper(II) sulfate pentahydrate.",
        ),
        Example("250 mL of 1000 mg/L copper sulfate pentahydrate", "not_applicable"),
    ),
)
