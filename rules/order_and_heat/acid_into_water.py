"""A concentrated acid is poured into water, never the other way round."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.load import cite

#: From this strength on, mixing an acid or base with water is done in this order only (common practice, no source). mol/L.
STRONG_mol_L = 5.0
_POURS = ("measure-reagent", "measure-stock", "pipette")


@only_where("poured")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    if not plan.steps:
        return None
    return [
        item
        for item in plan.ingredients
        if item.substance.family in ("acid", "base")
        and item.kind != "solid"
        and (item.kind in ("concentrated", "liquid") or (item.stock_mol_L or 0.0) >= STRONG_mol_L)
    ] or None


def check(plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    actions = [step.action for step in plan.steps]
    poured = next((i for i, action in enumerate(actions) if action in _POURS), None)
    if poured is None:
        poured = actions.index("weigh") if "weigh" in actions else len(actions)
    in_order = "acid-to-water" in actions or any(
        action in ("part-fill", "weigh-solvent") for action in actions[:poured]
    )
    if not in_order:
        for item in found:
            yield Hit(
                sentence(
                    f"{item.substance.name} of {STRONG_mol_L:g} mol/L or more goes into water, but the steps measure it out with no water "
                    "in the vessel first."
                ),
                approvable=False,
            )


RULE = Rule(
    id="acid-into-water",
    group="order_and_heat",
    title="The concentrated acid or alkali is poured into water",
    severity="stop",
    applies_to="concentrated acids and alkalis",
    citation=(
        cite("cfr-40-265-v", "introduction: acid is added to water rather than water to acid"),
        cite("practice", "common practice"),
    ),
    rationale="Water poured onto concentrated acid boils on its surface and throws it out of the vessel.",
    remedy="Put about half the water in a beaker first, and pour the reagent into it slowly, stirring.",
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.1 M HCl", "passed"),
        Example("1 L of 0.1 M NaCl", "not_applicable"),
    ),
)
