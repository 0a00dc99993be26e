"""Refuses a buffer whose stocks and acid or alkali together are more than the volume."""

from collections.abc import Iterable

from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.signs import only_where
from rules.tables.load import cite


@only_where("pH")
def gather(plan: DraftPlan) -> tuple[float, float] | None:
    if plan.ph_setting is None or not plan.ph_setting.titrant or plan.total_mL is None or not plan.measures:
        return None
    return sum(m.amount.value for m in plan.measures if m.amount.unit == "mL"), plan.total_mL


def check(_plan: DraftPlan, volumes: tuple[float, float]) -> Iterable[Hit]:
    poured, total = volumes
    if poured > total:
        yield Hit(
            f"The liquids with about what sets the pH add up to {say(poured, 'mL')}, more than the {say(total, 'mL')} to be made."
        )


RULE = Rule(
    id="titrant-leaves-no-room",
    group="blending",
    title="Acid or alkali for the pH leaves room to make up",
    severity="stop",
    applies_to="solutions whose pH is set with acid or alkali",
    citation=(cite("practice", "the parts are at most the whole"),),
    rationale="What sets the pH counts in the volume: past the mark the strength asked for is lost.",
    remedy="Start from stronger stocks or from solids, or set the pH with a stronger acid or alkali.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "100 mL of 0.97 M tris pH 7.2 from a 1 M stock",
            "fired",
            "The liquids with about what sets the pH add up to 104 mL, more than the 100 mL to be made.",
        ),
        Example("500 mL of 0.1 M tris pH 8.0", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
