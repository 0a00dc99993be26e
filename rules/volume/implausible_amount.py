"""Amounts beyond what a prep room makes are held, and beyond what it could make are refused."""

from collections.abc import Iterable

from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.tables.load import cite


def gather(plan: DraftPlan) -> list[tuple[float, str]] | None:
    found = (
        [(plan.total_mL, "mL")]
        if plan.total_mL is not None
        else [(plan.total_g, "mL")]
        if plan.total_g is not None
        else []
    )
    found += [(item.mass_g, "g") for item in plan.ingredients if item.mass_g is not None]
    return [(value, unit) for value, unit in found if value is not None] or None


def check(plan: DraftPlan, found: list[tuple[float, str]]) -> Iterable[Hit]:
    house = plan.policy.house
    for value, unit in found:
        hold, stop = (house.large_mL, house.largest_mL) if unit == "mL" else (house.large_g, house.largest_g)
        what = "solution" if unit == "mL" else "solid"
        if value > stop:
            yield Hit(
                f"{say(value, unit)} of {what} is more than a prep room can make: {say(stop, unit, 2)} at the very most.",
                "Check the number and its unit.",
                "stop",
            )
        elif value > hold:
            yield Hit(f"{say(value, unit)} of {what} is more than a prep room usually makes ({say(hold, unit, 2)}).")


RULE = Rule(
    id="implausible-amount",
    group="volume",
    title="The amount is one a prep room makes",
    severity="hold",
    applies_to="every solution whose amount is known",
    citation=(cite("practice", "common practice: unusual amounts are checked by a second person"),),
    rationale="A slip of the decimal point or of the unit is the commonest dangerous error.",
    remedy="Check the number and the unit; a second person confirms it.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "50 L of 0.1 M sodium chloride",
            "fired",
            "50.0 L of solution is more than a prep room usually makes (20 L).",
        ),
        Example(
            "500 L of 0.1 M sodium chloride",
            "fired",
            "500 L of solution is more than a prep room can make: 200 L at the very most.",
        ),
        Example("5 L of 0.1 M sodium chloride", "passed"),
        Example("make some sodium chloride", "not_applicable"),
    ),
)
