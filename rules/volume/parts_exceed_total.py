"""Refuses a mixture whose measured liquids alone are more than the volume to be made."""

from collections.abc import Iterable

from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.signs import only_where
from rules.tables.load import cite


@only_where("several")
def gather(plan: DraftPlan) -> list[float] | None:
    if plan.total_mL is None or len(plan.ingredients) < 2:
        return None
    return [item.volume_mL for item in plan.ingredients if item.volume_mL is not None] or None


def check(plan: DraftPlan, volumes: list[float]) -> Iterable[Hit]:
    total, poured = plan.total_mL or 0.0, sum(volumes)
    if len(volumes) > 1 and poured > total * (1 + 1e-6):
        yield Hit(
            f"The liquids to be measured add up to {say(poured, 'mL', 4)}, more than the {say(total, 'mL', 4)} to be made."
        )


RULE = Rule(
    id="parts-exceed-total",
    group="volume",
    title="The measured liquids leave room to make up",
    severity="stop",
    applies_to="mixtures with a measured liquid",
    citation=(cite("practice", "the parts are at most the whole"),),
    rationale="Such a mixture can only be made weaker than asked.",
    remedy="Start from stronger stocks or from solids.",
    gather=gather,
    check=check,
    examples=(Example("100 mL of 0.1 M sodium chloride", "not_applicable"),),
)
