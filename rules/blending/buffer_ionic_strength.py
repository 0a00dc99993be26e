"""Warns where the ionic strength is beyond the activity model the amounts come from."""

from collections.abc import Iterable

from rules.blends import PhSetting
from rules.buffer import MOST_IONIC_STRENGTH
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite

#: Ions of this charge (citrate, phosphate above pH 11) leave the model at a lower ionic strength: the table after
#: McIlvaine (citrate with phosphate) differs from it by up to 0.2.
MULTIPLE = 3
MOST_WITH_MULTIPLE = 0.1


@only_where("pH")
def gather(plan: DraftPlan) -> PhSetting | None:
    return plan.ph_setting


def check(_plan: DraftPlan, setting: PhSetting) -> Iterable[Hit]:
    limit = MOST_IONIC_STRENGTH if setting.highest_charge < MULTIPLE else MOST_WITH_MULTIPLE
    if setting.ionic_strength > limit:
        ions = f" with ions of charge {setting.highest_charge}" if limit != MOST_IONIC_STRENGTH else ""
        yield Hit(
            f"The ionic strength is about {setting.ionic_strength:.2g} mol/L{ions}, above the {limit:g} mol/L up to which "
            "activities are worked out well: the amounts may miss the pH by some tenths."
        )


RULE = Rule(
    id="buffer-ionic-strength",
    group="blending",
    title="The ionic strength is within the model",
    severity="caution",
    applies_to="solutions whose pH is set by a buffer",
    citation=(cite("practice", "the Davies equation is used to about 0.5 mol/L"),),
    rationale="Above that the activities are guesses, and the amounts only a start.",
    remedy="Hold back a tenth of the acid or alkali and let the meter decide.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "500 mL of 1 M tris pH 8.0",
            "fired",
            "The ionic strength is about 0.61 mol/L, above the 0.5 mol/L up to which activities are worked "
            "out well: the amounts may miss the pH by some tenths.",
        ),
        Example("500 mL of 0.1 M tris pH 8.0", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
