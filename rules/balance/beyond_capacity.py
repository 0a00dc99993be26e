"""Compares what is weighed in one go with the capacity of the largest balance."""

import math
from collections.abc import Iterable

from rules.plan import DraftPlan, Measure
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.tables.load import cite


def gather(plan: DraftPlan) -> list[Measure] | None:
    return [line for line in plan.measures if line.amount.unit == "g"] or None if plan.lab.balances else None


def check(plan: DraftPlan, lines: list[Measure]) -> Iterable[Hit]:
    largest = max(plan.lab.balances, key=lambda balance: balance.capacity_g)
    share = (
        max((b.volume_mL for b in plan.batches), default=0.0) / plan.total_mL if plan.batches and plan.total_mL else 1.0
    )
    for line in lines:
        mass = line.amount.value * (share or 1.0)
        if mass > largest.capacity_g:
            portions = math.ceil(mass / largest.capacity_g)
            yield Hit(
                f"{say(mass, 'g', 4)} of {line.what} is more than the {say(largest.capacity_g, 'g', 4)} the "
                f"largest balance here carries, vessel included.",
                f"Weigh it in at least {portions + 1} portions, each with its vessel under "
                f"{say(largest.capacity_g, 'g', 4)}, and add them up.",
            )


RULE = Rule(
    id="beyond-capacity",
    group="balance",
    title="The mass is within the capacity of a balance",
    severity="caution",
    applies_to="everything weighed",
    citation=(cite("practice", "stock list of the prep room"),),
    rationale="An overloaded balance reads nothing, or wrongly, and may be damaged.",
    remedy="Weigh in portions.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "20 kg of 20 % w/w sodium chloride",
            "fired",
            "4.000 kg of sodium chloride is more than the 2.000 kg the largest balance here carries, vessel included.",
        ),
        Example("500 g of 20 % w/w sodium chloride", "passed"),
        Example("100 mL of 0.1 M HCl from 1 M HCl", "not_applicable"),
    ),
)
