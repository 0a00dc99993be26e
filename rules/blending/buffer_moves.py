"""Says how the pH moves when the buffer is cooled or diluted."""

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
    yield Hit(
        f"Set to pH {setting.ph_typed} at {setting.temperature_degC:g} degC it moves by about {setting.ph_per_K:+.3f} a degree, "
        f"to about {setting.ph_cold:.1f} at 4 degC, and reads about {setting.ph_diluted:.1f} when diluted tenfold.",
        cites=setting.cites,
    )


RULE = Rule(
    id="buffer-moves",
    group="blending",
    title="The pH stays where it was set",
    severity="note",
    applies_to="solutions whose pH is set by a buffer",
    citation=(cite("practice", "common practice"),),
    rationale="pKa and activities change with temperature and dilution, and the pH with them.",
    remedy="Set the pH at the temperature and the strength of use.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "500 mL of 0.1 M tris pH 8.0",
            "fired",
            "Set to pH 8.0 at 25 degC it moves by about -0.028 a degree, to about 8.6 at 4 degC, and reads about 7.9 when "
            "diluted tenfold.",
        ),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
