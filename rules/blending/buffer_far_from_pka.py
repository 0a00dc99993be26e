"""Refuses a buffer more than 1.5 from its pKa, and says what would do."""

from collections.abc import Iterable

from rules.blends import PhSetting
from rules.buffer import nearest_step
from rules.plan import DraftPlan
from rules.reading import hangs_on_ph
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite
from rules.tables.pka import System, all_systems

#: Beyond this distance from the pKa a buffer keeps under a tenth of its best capacity (x/(1+x)^2 with x = 10^1.5).
FARTHEST = 1.5
USUAL_degC = 25.0


@only_where("pH")
def gather(plan: DraftPlan) -> PhSetting | None:
    return plan.ph_setting


def check(plan: DraftPlan, setting: PhSetting) -> Iterable[Hit]:
    off = abs(setting.ph - setting.working_pka)
    if off > FARTHEST and plan.recipe is None:
        fitting = [
            s.key
            for s in all_systems()
            if s.key not in ("edta", setting.system) and abs(_pka(s, setting.ph) - setting.ph) <= 1
        ]
        would = f" Would do: {', '.join(fitting[:6])}." if fitting else ""
        # EDTA is brought to a pH to dissolve it, not to hold the pH.
        to_dissolve = any(hangs_on_ph(item) for item in plan.ingredients)
        yield Hit(
            severity="caution" if to_dissolve else None,
            message=f"pH {setting.ph_typed} is {off:.1f} from the nearest pKa of {setting.system} "
            f"({setting.working_pka:.2f} as made), more than {FARTHEST:g}.{would}",
            cites=setting.cites,
        )


def _pka(system: System, ph: float) -> float:
    return nearest_step(system, ph, USUAL_degC)[1]


RULE = Rule(
    id="buffer-far-from-pka",
    group="blending",
    title="The pH is within 1.5 of a pKa",
    severity="stop",
    applies_to="solutions whose pH is set by a buffer",
    citation=(cite("practice", "common practice"),),
    rationale="So far from its pKa a buffer holds nothing, and the amounts worked out mean little.",
    remedy="Choose a buffer whose pKa is within 1 of the pH.",
    gather=gather,
    check=check,
    examples=(
        Example("500 mL of 0.1 M tris pH 8.0", "passed"),
        Example(
            "500 mL of 0.1 M tris pH 4.0",
            "fired",
            "pH 4.0 is 4.2 from the nearest pKa of tris (8.18 as made), more than 1.5. Would do: acetate, formate, "
            "propionate, citrate, succinate, tartrate.",
        ),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
