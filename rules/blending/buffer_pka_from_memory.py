"""Warns that the pKa an amount was worked out with is only remembered."""

from collections.abc import Iterable

from rules.blends import PhSetting
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite


@only_where("pH")
def gather(plan: DraftPlan) -> PhSetting | None:
    return plan.ph_setting


def check(_plan: DraftPlan, setting: PhSetting) -> Iterable[Hit]:
    if any(c.source_id == "memory" for c in setting.cites):
        yield Hit(f"The pKa of {setting.system} used here, {setting.pka:.2f}, is from memory.", cites=setting.cites)


RULE = Rule(
    id="buffer-pka-from-memory",
    group="blending",
    title="The pKa was read in a source",
    severity="caution",
    applies_to="solutions whose pH is set by a buffer",
    citation=(cite("memory", "constants marked so in the table of pKa"),),
    rationale="A remembered constant may be wrong.",
    remedy="Trust the meter, not the amount of titrant.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "500 mL of 0.05 M MOPS pH 7.0",
            "fired",
            "The pKa of mops used here, 7.18, is from memory.",
        ),
        Example("500 mL of 0.1 M tris pH 8.0", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
