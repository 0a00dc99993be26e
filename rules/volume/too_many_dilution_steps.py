"""Warns of a ladder of dilutions whose errors add up."""

from collections.abc import Iterable

from rules.plan import DilutionStep, DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import figures
from rules.tables.load import cite


def gather(plan: DraftPlan) -> list[DilutionStep] | None:
    return plan.route.dilutions or None if plan.route is not None else None


def check(plan: DraftPlan, steps: list[DilutionStep]) -> Iterable[Hit]:
    most = plan.policy.house.most_dilutions
    if len(steps) > most:
        spread = (
            f"; the strength is good to about {figures(100 * plan.budget.u_rel * plan.budget.k, 2)} %"
            if plan.budget
            else ""
        )
        yield Hit(
            f"It takes {len(steps)} dilutions one after the other, more than {most}, and each adds its own error{spread}."
        )


RULE = Rule(
    id="too-many-dilution-steps",
    group="volume",
    title="At most two dilutions in a row",
    severity="caution",
    applies_to="solutions made by way of a stock",
    citation=(cite("practice", "common practice"),),
    rationale="Errors of pipettes and flasks add up, and so do slips; a wrong intermediate spoils everything after it.",
    remedy="Start from a bought standard solution if there is one, or label every intermediate and prepare them in pairs to compare.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "100 mL of 1e-9 M potassium permanganate",
            "fired",
            "It takes 3 dilutions one after the other, more than 2, and each adds its own error; the "
            "strength is good to about 1.4 %.",
        ),
        Example("100 mL of 0.00020 M potassium permanganate", "passed"),
        Example("100 mL of 0.020 M potassium permanganate", "not_applicable"),
    ),
)
