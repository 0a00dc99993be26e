"""A strength by mass in a volume has the density it needs."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Open
from rules.reading import question
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Open | tuple[()] | None:
    if plan.opens and (found := plan.open_about("density")):
        return found
    return () if plan.ingredients else None


def check(_plan: DraftPlan, found: Open | tuple[()]) -> Iterable[Hit]:
    return (question(found),) if isinstance(found, Open) else ()


RULE = Rule(
    id="density-needed",
    group="units",
    title="The density needed is held",
    severity="ask",
    applies_to="every strength",
    citation=(cite("practice", "mass is volume times density"),),
    rationale="Taking the density of water for a strong solution is an error of several percent.",
    remedy="State the total as a mass, or give the density.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "500 mL of 30 % w/w methyl orange",
            "fired",
            "30 % w/w in a volume needs the density of the solution, and none is held for methyl orange at "
            "this strength.",
        ),
        Example("500 mL of 10 % w/w sodium chloride", "passed"),
    ),
)
