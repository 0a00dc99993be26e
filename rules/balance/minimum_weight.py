"""Compares what would be weighed directly with the smallest amount the balance can be trusted with."""

import math
from collections.abc import Iterable

from rules.plan import DraftPlan
from rules.reading import must_be_exact
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.tables.load import cite

#: Fewer steps of the display than this are no weighing at all (common practice, no source).
LEAST_STEPS = 10


def gather(plan: DraftPlan) -> tuple[float, float] | None:
    """The lightest single weighing and the least the finest balance may weigh, both in g."""
    route = plan.route
    if route is None:
        return None
    if route.direct_mass_g is not None and route.minimum_weight_g is not None:
        return route.direct_mass_g, route.minimum_weight_g
    masses = [line.amount.value for line in plan.measures if line.ingredient is not None and line.amount.unit == "g"]
    if not masses or not plan.lab.balances:
        return None
    tolerance = plan.policy.house.tolerance("accurate" if must_be_exact(plan) else None)
    return min(masses), min(balance.minimum_weight_g(tolerance) for balance in plan.lab.balances)


def check(plan: DraftPlan, found: tuple[float, float]) -> Iterable[Hit]:
    mass, least = found
    if mass >= least or plan.route is None:
        return
    said = f"{say(mass, 'g')} is under {say(least, 'g', 2)}, the least that the finest balance here weighs within the tolerance"
    if plan.route.dilutions:
        yield Hit(
            f"{said}; so a stronger stock is weighed and diluted.",
            "Follow the stock and dilution steps; do not weigh it directly.",
            "note",
        )
        return
    finest = min(balance.readability_g for balance in plan.lab.balances)
    if mass < LEAST_STEPS * finest * (1 - 1e-9):
        yield Hit(
            f"{say(mass, 'g')} cannot be weighed: the finest balance here shows steps of {finest:g} g.",
            f"Make a stock first and ask again with 'from' and its strength: {say(mass * _factor(mass, least), 'g')} weighed "
            f"for the same volume is {_factor(mass, least):g} times as strong.",
            "stop",
        )
    else:
        yield Hit(f"{said}.", severity="stop" if must_be_exact(plan) else "caution")


def _factor(mass: float, least: float) -> int:
    """The power of ten that brings the mass over the least that is weighed."""
    return int(10 ** math.ceil(math.log10(least / mass)))


RULE = Rule(
    id="minimum-weight",
    group="balance",
    title="The mass is above the minimum weight of the balance",
    severity="caution",
    applies_to="everything weighed",
    citation=(cite("usp-41", "minimum weight: twice the repeatability, at least 0.41 d, over the tolerance"),),
    rationale="Below the minimum weight the balance's own scatter is larger than the error allowed.",
    remedy="Make a larger volume, or weigh a stronger stock and dilute it.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "100 mL of 0.00020 M potassium permanganate",
            "fired",
            "3.16 mg is under 8.2 mg, the least that the finest balance here weighs within the tolerance; so "
            "a stronger stock is weighed and diluted.",
        ),
        Example(
            "1 L of 0.1 M NaCl and 0.00000001 M KCl",
            "fired",
            "0.745 ug cannot be weighed: the finest balance here shows steps of 0.0001 g.",
        ),
        Example("100 mL of 0.020 M potassium permanganate", "passed"),
        Example("100 mL of 0.1 M HCl from 1 M HCl", "not_applicable"),
    ),
)
