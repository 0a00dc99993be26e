"""Small bottles get a short label and a code to the full one."""

from collections.abc import Iterable

from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.tables.load import cite


def gather(plan: DraftPlan) -> float | None:
    return plan.total_mL if plan.ingredients else None


def check(plan: DraftPlan, total_mL: float) -> Iterable[Hit]:
    small = plan.policy.house.small_label_mL
    if total_mL <= small:
        yield Hit(f"{say(total_mL, 'mL')} goes into a bottle too small for a full label (up to {say(small, 'mL', 2)}).")


RULE = Rule(
    id="small-bottle-label",
    group="labelling",
    title="The full label fits the bottle",
    severity="note",
    applies_to="every volume",
    citation=(cite("practice", "common practice"),),
    rationale="A label cut down by chance loses the hazard first.",
    remedy="Short label with name, strength, signal word and code; the full label goes on the tray or the rack.",
    gather=gather,
    check=check,
    examples=(
        Example("25 mL of 0.1 M sodium chloride", "fired",
                "25.0 mL goes into a bottle too small for a full label (up to 50 mL)."),
        Example("1 L of 0.1 M sodium chloride", "passed"),
        Example("make some acid", "not_applicable"),
    ),
)
