"""Warns of a volume under that of the smallest flask."""

from collections.abc import Iterable

from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import figures, say
from rules.tables.load import cite


def gather(plan: DraftPlan) -> float | None:
    return plan.total_mL if plan.lab.flasks and plan.total_mL is not None and plan.total_mL > 0 else None


def check(plan: DraftPlan, volume: float) -> Iterable[Hit]:
    least = plan.lab.flasks[0].nominal_mL
    glass = plan.vessel.glass if plan.vessel is not None else None
    if glass is not None and glass.tolerance_mL > plan.policy.house.vessel_error_pct / 100 * volume:
        yield Hit(
            f"{say(volume, 'mL')} cannot be made up here: the smallest vessel for it is good to {glass.tolerance_mL:g} mL only.",
            f"Make {least:g} mL and use what is needed of it.",
            "stop",
        )
    elif glass is not None and glass.kind == "tube":
        yield Hit(
            f"{say(volume, 'mL')} is less than the smallest volumetric flask here holds ({least:g} mL): it is put together in "
            f"a closed tube by piston pipettes, good to {figures(100 * glass.tolerance_mL / volume, 2)} %.",
            f"Make {least:g} mL in the flask where the strength must be better known.",
            "note",
        )
    elif volume < least * (1 - 1e-9):
        yield Hit(
            f"{say(volume, 'mL')} is less than the smallest volumetric flask here holds ({least:g} mL), so the "
            f"strength would be approximate.",
            f"Make {least:g} mL and use what is needed of it.",
        )


RULE = Rule(
    id="below-smallest-flask",
    group="volume",
    title="The volume is that of a flask or more",
    severity="caution",
    applies_to="solutions made up to a volume",
    citation=(cite("practice", "stock list of the prep room"),),
    rationale="What wets the glass is then a fair part of the whole.",
    remedy="Make the volume of the smallest flask.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "2 mL of 1 M sodium chloride",
            "fired",
            "2.00 mL is less than the smallest volumetric flask here holds (5 mL), so the strength would be "
            "approximate.",
        ),
        Example(
            "0.5 mL of 1 M sodium chloride",
            "fired",
            "0.500 mL cannot be made up here: the smallest vessel for it is good to 0.2 mL only.",
        ),
        Example(
            "1 mL of 10 mM sodium chloride from 100 mM stock",
            "fired",
            "1.00 mL is less than the smallest volumetric flask here holds (5 mL): it is put together in a closed tube by "
            "piston pipettes, good to 0.80 %.",
        ),
        Example("50 mL of 1 M sodium chloride", "passed"),
        Example("250 g of 10 % w/w sodium chloride", "not_applicable"),
    ),
)
