"""Warns of a volume too small to measure well."""

import math
from collections.abc import Iterable

from rules.plan import DraftPlan
from rules.reading import must_be_exact
from rules.rule import Example, Hit, Rule
from rules.saying import figures, say
from rules.signs import only_where
from rules.tables.load import cite

#: What one pipette and one flask dilute well in a step.
HUNDRED = 100


@only_where("mL measured", "dilutions")
def gather(plan: DraftPlan) -> list[tuple[float, float, str]] | None:
    """Each volume measured of a stock or liquid, the volume it ends in, and what it is."""
    if plan.route is not None and plan.route.dilutions:
        return [(step.take_mL, step.into_mL, step.label_from) for step in plan.route.dilutions]
    return [
        (line.amount.value, plan.total_mL or 0.0, line.what)
        for line in plan.measures
        if line.amount.unit == "mL" and line.ingredient is not None
    ] or None


def check(plan: DraftPlan, found: list[tuple[float, float, str]]) -> Iterable[Hit]:
    least, share = plan.policy.house.least_pipetted_mL, plan.policy.house.piston_least_pct / 100
    smallest = min((g.nominal_mL for g in plan.lab.micropipettes), default=least / share) * share
    tube = plan.vessel is not None and plan.vessel.glass.kind == "tube"  # piston pipettes throughout
    for volume, total, what in found:
        if volume < smallest * (1 - 1e-9):
            yield Hit(
                f"{say(volume, 'mL')} of {what} is less than anything here measures ({say(smallest, 'mL')}).",
                _steps_first(volume, total, least),
                "stop",
            )
        elif volume < least * (1 - 1e-9) and not tube:
            drop = 0.05 / volume * 100
            yield Hit(
                f"{say(volume, 'mL')} of {what} is under the {least:g} mL that is measured well: one drop "
                f"(about 0.05 mL) is {figures(drop, 2)} % of it.",
                f"Dilute in two steps: first make a weaker stock, then take at least {least:g} mL of that into the {total:g} mL.",
                "caution" if must_be_exact(plan) or volume < least / 2 else "note",
            )


def _steps_first(volume_mL: float, total_mL: float, least_mL: float) -> str:
    """How often the stock is diluted 1 in 100 before a volume a pipette measures well is left to take."""
    times = math.ceil(math.log(least_mL / volume_mL, HUNDRED) - 1e-9)
    often = f"{times} times" if times > 2 else "twice" if times == 2 else "once"
    return (
        f"Dilute the stock {HUNDRED} times (10 mL to 1 L) {often} first; then {say(volume_mL * HUNDRED**times, 'mL')} of that "
        f"goes into the {total_mL:g} mL. Ask again with the diluted stock as the source."
    )


RULE = Rule(
    id="pipette-minimum",
    group="volume",
    title="The volumes are large enough to measure",
    severity="caution",
    applies_to="stocks, liquids and dilution steps",
    citation=(cite("practice", "common practice: no transfer under 1 mL for a known strength"),),
    rationale="The smaller the volume, the more of it is the last drop.",
    remedy="Dilute in two steps.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "100 mL of 0.001 M KCl from 1 M stock",
            "fired",
            "0.100 mL of 1 mol/L potassium chloride is under the 1 mL that is measured well: one drop (about "
            "0.05 mL) is 50 % of it.",
        ),
        Example(
            "1 mL of 0.0000001 M HCl from 1 M HCl",
            "fired",
            "0.000100 uL of 1 mol/L hydrochloric acid is less than anything here measures (2.00 uL).",
        ),
        Example("100 mL of 0.05 M KCl from 1 M stock", "passed"),
        Example("100 mL of 0.05 M KCl", "not_applicable"),
    ),
)
