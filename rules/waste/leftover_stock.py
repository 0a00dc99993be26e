"""Says how much stock or intermediate is left over."""

from collections.abc import Iterable
from itertools import pairwise

from rules.plan import DraftPlan, Route
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.signs import only_where
from rules.tables.load import cite


@only_where("dilutions")
def gather(plan: DraftPlan) -> Route | None:
    return plan.route if plan.route is not None and plan.route.dilutions else None


def check(_plan: DraftPlan, route: Route) -> Iterable[Hit]:
    left = sum(step.into_mL - after.take_mL for step, after in pairwise(route.dilutions))
    if route.stock_flask is None:
        yield Hit(f"{say(left, 'mL')} of intermediate dilutions is left over.")
        return
    left += route.stock_flask.nominal_mL - route.dilutions[0].take_mL
    yield Hit(f"{say(left, 'mL')} of stock is left over after {say(route.dilutions[0].take_mL, 'mL')} is taken.")


RULE = Rule(
    id="leftover-stock",
    group="waste",
    title="No stock is left over",
    severity="note",
    applies_to="routes by way of a stock",
    citation=(cite("practice", "common practice"),),
    rationale="Flasks of forgotten stock are the unknown waste of next month.",
    remedy=("Label it and put it on the shelf if it keeps and will be used; otherwise treat it as waste of the "
            "same kind."),
    gather=gather,
    check=check,
    examples=(
        Example("100 mL of 0.00020 M potassium permanganate", "fired",
                "19.0 mL of stock is left over after 1.00 mL is taken."),
        Example("100 mL of 0.0000001 M sodium chloride from 1 M stock", "fired",
                "207 mL of intermediate dilutions is left over."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
