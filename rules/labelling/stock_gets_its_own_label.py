"""Stocks and intermediates on the way get a label of their own."""

from collections.abc import Iterable

from rules.handled import names
from rules.plan import DilutionStep, DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.signs import only_where
from rules.tables.load import cite


@only_where("dilutions")
def gather(plan: DraftPlan) -> list[DilutionStep] | None:
    return plan.route.dilutions or None if plan.route is not None else None


def check(_plan: DraftPlan, found: list[DilutionStep]) -> Iterable[Hit]:
    strengths = [say(step.from_mol_L, "mol/L") for step in found if step.from_mol_L is not None]
    said = f" ({names(strengths)})" if strengths else ""
    factor = 1.0
    for step in found:
        factor *= step.factor
    yield Hit(f"{len(found)} flask{'s' if len(found) > 1 else ''}{said} stand{'s' if len(found) == 1 else ''} beside the final solution, "
              f"up to {factor:g} times as strong.")


RULE = Rule(
    id="stock-gets-its-own-label",
    group="labelling",
    title="Nothing else stands beside the final solution",
    severity="note",
    applies_to="routes by way of a stock",
    citation=(cite("practice", "common practice"),),
    rationale="A flask set aside for a minute is taken for the finished solution.",
    remedy="Label each flask before it is put down: name, strength, date, initials.",
    gather=gather,
    check=check,
    examples=(
        Example("100 mL of 0.00020 M potassium permanganate", "fired",
                "1 flask (0.0200 mol/L) stands beside the final solution, up to 100 times as strong."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
