"""Toxic solids are weighed with care even when the solution is dilute."""

from collections.abc import Iterable

from rules.made import handled
from rules.plan import DraftPlan, Ingredient
from rules.reading import named, weighed
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.signs import only_where
from rules.tables.load import cite

TOXIC = frozenset({"Acute Tox. 3", "STOT SE 1", "STOT RE 1"})


@only_where("handled Acute Tox.", "handled STOT SE", "handled STOT RE")
def gather(plan: DraftPlan) -> list[tuple[Ingredient, list[str]]] | None:
    found = [(item, list(dict.fromkeys(label for label, _ in handled(item, plan.policy) if label in TOXIC))) for item in weighed(plan)]
    return [(item, labels) for item, labels in found if labels] or None


def check(_plan: DraftPlan, found: list[tuple[Ingredient, list[str]]]) -> Iterable[Hit]:
    for item, labels in found:
        yield Hit(f"{say(item.mass_g or 0.0, 'g')} of {named(item)} is weighed, and the solid is {', '.join(labels)}.")


RULE = Rule(
    id="toxic-solid-weighing",
    group="hazard",
    title="No toxic solid is weighed",
    severity="caution",
    applies_to="toxic solids",
    citation=(cite("clp-annex-vi", "Table 3, entry of the substance"),),
    rationale="The concentrated substance is on the spatula, the balance and the gloves.",
    remedy="Gloves on, nothing to the mouth, wipe the balance wet, wash hands; keep the amount on the bench small.",
    gather=gather,
    check=check,
    examples=(
        Example("250 mL of 0.1 M barium chloride dihydrate", "fired",
                "6.11 g of barium chloride dihydrate is weighed, and the solid is Acute Tox. 3."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
