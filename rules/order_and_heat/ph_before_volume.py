"""Where a pH is asked for, it is set before the volume is made up."""

from collections.abc import Iterable

from grammar.request import Prepare
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite


@only_where("pH")
def gather(plan: DraftPlan) -> str | None:
    return str(plan.request.ph) if isinstance(plan.request, Prepare) and plan.request.ph is not None else None


def check(_plan: DraftPlan, ph: str) -> Iterable[Hit]:
    yield Hit(
        f"pH {ph} is set in about four fifths of the volume, and only then is it made up: acid or alkali added "
        f"at the mark would overfill it."
    )


RULE = Rule(
    id="ph-before-volume",
    group="order_and_heat",
    title="No pH is to be set",
    severity="caution",
    applies_to="requests that name a pH",
    citation=(cite("practice", "common practice: adjust, then make up, then read again"),),
    rationale="The volume of what is added to set the pH cannot be foreseen.",
    remedy="Dissolve in four fifths of the water, set the pH at the temperature of use, make up, and read it again.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "500 mL of 0.1 M tris pH 8.0",
            "fired",
            "pH 8.0 is set in about four fifths of the volume, and only then is it made up: acid or alkali "
            "added at the mark would overfill it.",
        ),
        Example("500 mL of 0.1 M tris", "not_applicable"),
    ),
)
