"""A primary standard weighed for an accurate solution is dried and cooled first."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import behaves, must_be_exact, named
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.behaviour import Behaviour
from rules.tables.load import cite


@only_where("exact")
def gather(plan: DraftPlan) -> list[tuple[Ingredient, Behaviour]] | None:
    if not must_be_exact(plan):
        return None
    return [
        (item, held)
        for item in plan.ingredients
        if item.kind == "solid" and (held := behaves(item, "primary-standard"))
    ] or None


def check(plan: DraftPlan, found: list[tuple[Ingredient, Behaviour]]) -> Iterable[Hit]:
    for item, held in found:
        if plan.has_step("dry") or plan.has_step("not-dried"):
            yield Hit(
                sentence(f"{named(item)} is a primary standard, exact only when treated as such first: {held.detail}."),
                severity="note",
                cites=(held.cite,),
            )
        else:
            yield Hit(
                sentence(f"{named(item)} is a primary standard, but the steps do not treat it first: {held.detail}."),
                cites=(held.cite,),
            )


RULE = Rule(
    id="dry-first",
    group="purity",
    title="The primary standard is dried",
    severity="caution",
    applies_to="primary standards weighed for an accurate solution",
    citation=(cite("practice", "common practice: dry, cool in a desiccator, weigh"),),
    rationale="Surface water is weighed with the salt.",
    remedy="Dry it as said, let it cool in a desiccator, and weigh at once.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "accurate 250 mL of 0.0500 M anhydrous sodium carbonate",
            "fired",
            "Anhydrous sodium carbonate is a primary standard, exact only when treated as such first: "
            "100-105 C, then 270-300 C to constant mass; cool in a desiccator.",
        ),
        Example("250 mL of 0.05 M anhydrous sodium carbonate", "not_applicable"),
    ),
)
