"""A way of disposal is held for every solute."""

from collections.abc import Iterable

from rules.handled import names
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule, Unchecked
from rules.tables.handling import waste
from rules.tables.load import cite


def gather(plan: DraftPlan) -> tuple[()] | Unchecked | None:
    if not plan.ingredients:
        return None
    without = [item.substance for item in plan.ingredients if waste(item.substance.slug).stream == "ask"]
    return Unchecked(f"No way of disposal is held for {names(without)}.") if without else ()


def check(_plan: DraftPlan, _found: tuple[()]) -> Iterable[Hit]:
    return ()


RULE = Rule(
    id="waste-route-unknown",
    group="waste",
    title="A way of disposal is held",
    severity="caution",
    applies_to="every solution",
    citation=(cite("practice", "common practice"),),
    rationale="Where nothing is known the drain is wrong.",
    remedy="Keep it in a named, dated bottle and ask the safety officer.",
    gather=gather,
    check=check,
    examples=(
        Example("100 mL of 0.1 M lithium acetate", "unchecked", ""),
        Example("1 L of 0.1 M sodium chloride", "passed"),
        Example("make some acid", "not_applicable"),
    ),
)
