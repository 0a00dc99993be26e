"""Warns of a large volume of a corrosive solution in one vessel or bottle."""

from collections.abc import Iterable

from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.signs import only_where
from rules.tables.load import cite


@only_where("made Skin Corr.")
def gather(plan: DraftPlan) -> str | None:
    if plan.hazards is None or plan.total_mL is None:
        return None
    return next(
        (f"{made.hazard_class} {made.category}" for made in plan.hazards.classes if made.hazard_class == "Skin Corr."),
        None,
    )


def check(plan: DraftPlan, made: str) -> Iterable[Hit]:
    total, most = plan.total_mL or 0.0, plan.policy.house.corrosive_bottle_mL
    if total > most:
        yield Hit(
            f"{say(total, 'mL')} of a corrosive solution ({made}) is more than the "
            f"{say(most, 'mL', 2)} that is handled in one bottle."
        )


RULE = Rule(
    id="large-corrosive-volume",
    group="volume",
    title="The corrosive solution fits one bottle",
    severity="caution",
    applies_to="solutions that are corrosive at the strength made",
    citation=(cite("practice", "common practice: nothing corrosive in glass above 2.5 L by hand"),),
    rationale="A dropped bottle of corrosive is the accident that hurts most people.",
    remedy="Make and keep it in bottles of at most 2.5 L, carried in a bottle carrier and stood in a tray, below eye level.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "5 L of 2 M NaOH",
            "fired",
            "5000 mL of a corrosive solution (Skin Corr. 1A) is more than the 2500 mL that is handled in one bottle.",
        ),
        Example("1 L of 2 M NaOH", "passed"),
        Example("5 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
