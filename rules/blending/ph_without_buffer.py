"""Warns that nothing in the solution holds the pH asked for, or that the amount of acid or alkali could not be worked out."""

from collections.abc import Iterable

from rules.blends import PhSetting
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule, Unchecked
from rules.signs import only_where
from rules.tables.load import cite


@only_where("pH")
def gather(plan: DraftPlan) -> PhSetting | bool | Unchecked | None:
    if getattr(plan.request, "ph", None) is None or not plan.ingredients or plan.opens or plan.problem:
        return None
    setting = plan.ph_setting
    if setting is not None and setting.unknown:
        return Unchecked(
            f"How {', '.join(setting.unknown)} bears on the pH is not held, so the amount of acid or alkali is only for the rest."
        )
    made_elsewhere = [i.substance.name for i in plan.ingredients if i.substance.family == "mixture"]
    if setting is None and made_elsewhere:
        return Unchecked(f"What {' and '.join(made_elsewhere)} holds is not known here, so the pH was not worked out.")
    return setting or False


def check(plan: DraftPlan, setting: PhSetting | bool) -> Iterable[Hit]:
    if setting is False:
        asked = getattr(plan.request, "ph", None)
        yield Hit(f"Nothing that is known to hold pH {asked} is in the solution.")


RULE = Rule(
    id="ph-without-buffer",
    group="blending",
    title="Something holds the pH",
    severity="caution",
    applies_to="requests that name a pH",
    citation=(cite("practice", "common practice"),),
    rationale="Without a buffer the carbon dioxide of the air alone moves the pH by units.",
    remedy="Add a buffer, or ask for the acid or base itself by its strength.",
    gather=gather,
    check=check,
    examples=(
        Example("500 mL of 0.1 M tris pH 8.0", "passed"),
        Example(
            "500 mL of 0.1 M sodium chloride pH 7.0",
            "fired",
            "Nothing that is known to hold pH 7.0 is in the solution.",
        ),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
