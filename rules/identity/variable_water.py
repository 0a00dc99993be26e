"""A hydrate of unknown water content is never counted as if its water were known."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient, Open
from rules.reading import must_be_exact, question
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite


@only_where("open", "variable water")
def gather(plan: DraftPlan) -> Open | list[Ingredient] | None:
    if plan.opens and (found := plan.open_about("variable-water")):
        return found
    return [item for item in plan.ingredients if item.form.water == "x"] or None


def check(plan: DraftPlan, found: Open | list[Ingredient]) -> Iterable[Hit]:
    if isinstance(found, Open):
        yield question(found)
        return
    for item in found:
        if not item.purity_stated:
            yield Hit(
                f"The water in {item.form.formula or item.substance.name} varies from lot to lot, so {item.substance.name} "
                "weighed from it has no fixed strength.",
                severity="hold" if must_be_exact(plan) else "caution",
            )


RULE = Rule(
    id="variable-water",
    group="identity",
    title="The water content of the hydrate is known",
    severity="ask",
    applies_to="hydrates sold with variable water",
    citation=(cite("practice", "common practice: the certificate of the lot gives water or assay"),),
    rationale="A formula with xH2O has no molar mass; any mass worked out from it is a guess.",
    remedy="Take the water content or the assay from the certificate of the lot, or use a hydrate of fixed formula.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "1 % w/v MES variable hydrate 100 mL",
            "fired",
            "The water content of 2-(N-morpholino)ethanesulfonic acid (MES) (variable hydrate) must come "
            "from the bottle's certificate.",
        ),
        Example("0.05 M copper sulfate pentahydrate 100 mL", "not_applicable"),
    ),
)
