"""Says so when the stock already has the strength that is wanted."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.signs import only_where
from rules.tables.load import cite


@only_where("stock")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    if plan.total_mL is None or len(plan.ingredients) != 1:
        return None
    return [item for item in plan.ingredients if item.kind == "stock" and item.volume_mL is not None] or None


def check(plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    for item in found:
        if plan.total_mL and item.volume_mL and abs(item.volume_mL / plan.total_mL - 1) <= 1e-6:
            yield Hit(
                f"The stock of {item.substance.name} already has the strength asked for: "
                f"{say(plan.total_mL, 'mL')} of it is the answer, with nothing added."
            )


RULE = Rule(
    id="stock-same-as-target",
    group="solubility",
    title="There is something to dilute",
    severity="note",
    applies_to="dilutions of a stock",
    citation=(cite("practice", "equal strengths need no dilution"),),
    rationale="A dilution of nothing is usually a slip in one of the two strengths.",
    remedy="Check both strengths; otherwise pour out the stock as it is.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "500 mL of 0.5 M HCl from 0.5 M HCl",
            "fired",
            "The stock of hydrochloric acid already has the strength asked for: 500 mL of it is the answer, "
            "with nothing added.",
        ),
        Example("500 mL of 0.5 M HCl from 2 M HCl", "passed"),
        Example("500 mL of 0.5 M NaCl", "not_applicable"),
    ),
)
