"""Warns about a buffer more than 1 from its pKa."""

from collections.abc import Iterable

from rules.blends import PhSetting
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite

WIDEST, FARTHEST = 1.0, 1.5


@only_where("pH")
def gather(plan: DraftPlan) -> PhSetting | None:
    return plan.ph_setting


def check(_plan: DraftPlan, setting: PhSetting) -> Iterable[Hit]:
    off = abs(setting.ph - setting.working_pka)
    if WIDEST < off <= FARTHEST:
        yield Hit(
            f"pH {setting.ph_typed} is {off:.1f} from the pKa of {setting.system} ({setting.working_pka:.2f} as made): "
            f"beyond {WIDEST:g} a buffer holds its pH poorly.",
            cites=setting.cites,
        )


RULE = Rule(
    id="buffer-outside-range",
    group="blending",
    title="The pH is within 1 of a pKa",
    severity="caution",
    applies_to="solutions whose pH is set by a buffer",
    citation=(cite("openstax-chem2e", "section 14.6, buffer capacity"),),
    rationale="Outside one unit of its pKa a buffer has under a third of its best capacity.",
    remedy="Use it fresh, check the pH in use, or take a buffer with a nearer pKa.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "1 L of 0.1 M tris pH 9.4",
            "fired",
            "pH 9.4 is 1.3 from the pKa of tris (8.10 as made): beyond 1 a buffer holds its pH poorly.",
        ),
        Example("500 mL of 0.1 M tris pH 8.0", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
