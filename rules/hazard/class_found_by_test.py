"""Names the classes of a solute that only a test can carry over to the solution."""

from collections.abc import Iterable

from rules.handled import names
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> tuple[str, ...] | None:
    return plan.hazards.untested or None if plan.hazards is not None else None


def check(_plan: DraftPlan, found: tuple[str, ...]) -> Iterable[Hit]:
    yield Hit(f"{names(found)} was not carried over to the solution: these classes are found by test, not by percent.")


RULE = Rule(
    id="class-found-by-test",
    group="hazard",
    title="Every class could be worked out by percent",
    severity="note",
    applies_to="solutes with physical hazard classes",
    citation=(cite("clp-annex-i", "Annex I, part 2"),),
    rationale="Fire and explosion classes hold for the solid or the pure liquid; dissolved in water they change.",
    remedy="Handle the reagent by its own label; ask the supplier when the solution is strong.",
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.02 M potassium permanganate", "fired",
                "Ox. Sol. 2 of potassium permanganate was not carried over to the solution: these classes are found "
                "by test, not by percent."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
