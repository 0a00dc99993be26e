"""Warns where the balance cannot show the window of masses that keeps the strength."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Measure
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.tables.load import cite


def gather(plan: DraftPlan) -> list[Measure] | None:
    return [
        line for line in plan.measures if line.balance is not None and line.low is not None and line.high is not None
    ] or None


def check(plan: DraftPlan, lines: list[Measure]) -> Iterable[Hit]:
    share = (
        min((b.volume_mL for b in plan.batches), default=0.0) / plan.total_mL if plan.batches and plan.total_mL else 1.0
    )
    for line in lines:
        if line.balance is None or line.low is None or line.high is None:
            continue
        window = (line.high.value - line.low.value) * (share if not (plan.route and plan.route.dilutions) else 1.0)
        if window < line.balance.readability_g:
            yield Hit(
                f"The masses that keep the strength lie within {say(window, 'g', 2)} of each other, but the balance shows only steps of "
                f"{line.balance.readability_g:g} g."
            )


RULE = Rule(
    id="balance-too-coarse",
    group="balance",
    title="The balance shows the window of masses",
    severity="caution",
    applies_to="everything weighed",
    citation=(cite("practice", "the last digit shown must be finer than what is allowed"),),
    rationale="A window finer than the last digit can be hit only by luck.",
    remedy="Use a finer balance, make a larger volume, or ask for fewer figures.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "100 mL of 0.100000 M sodium chloride",
            "fired",
            "The masses that keep the strength lie within 5.8 ug of each other, but the balance shows only "
            "steps of 0.0001 g.",
        ),
        Example("1 L of 0.1000 M potassium chloride", "passed"),
        Example("100 mL of 0.1 M HCl from 1 M HCl", "not_applicable"),
    ),
)
