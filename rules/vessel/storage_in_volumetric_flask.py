"""A volumetric flask is not used as a bottle."""

from collections.abc import Iterable

from grammar.request import Container, Prepare
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> list[Container] | None:
    if not isinstance(plan.request, Prepare):
        return None
    kept = [plan.request.bottle] if plan.request.bottle is not None else []
    if plan.steps and not plan.has_step("bottle") and plan.request.container is not None:
        kept.append(plan.request.container)
    return kept or None


def check(_plan: DraftPlan, kept: list[Container]) -> Iterable[Hit]:
    for vessel in kept:
        if vessel.kind == "volumetric-flask":
            yield Hit("The solution is to be kept in a volumetric flask, which is a measure and not a bottle.")


RULE = Rule(
    id="storage-in-volumetric-flask",
    group="vessel",
    title="The solution is kept in a bottle",
    severity="caution",
    applies_to="requests that say what the solution is kept in",
    citation=(cite("practice", "common practice: volumetric flasks are emptied and rinsed at once"),),
    rationale="Stoppers seize, alkali etches the mark, and the flask is missing for the next preparation.",
    remedy="Move it to a labelled bottle rinsed with a little of the solution.",
    gather=gather,
    check=check,
    examples=(
        Example("250 mL of 0.1 M sodium chloride, store in a volumetric flask", "fired", ""),
        Example("25% w/v KI 100mL brown bottle", "passed"),
        Example("250 mL of 0.1 M sodium chloride", "not_applicable"),
    ),
)
