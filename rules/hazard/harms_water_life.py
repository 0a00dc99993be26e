"""Solutions that harm water life stay out of the sink."""

from collections.abc import Iterable

from rules.classify import MadeClass
from rules.made import made
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> list[MadeClass] | None:
    return made(plan, "Aquatic")


def check(_plan: DraftPlan, found: list[MadeClass]) -> Iterable[Hit]:
    if found:
        one = found[-1]
        yield Hit(f"The made solution is {one.hazard_class} {one.category} ({one.h_code}): {one.because}.")


RULE = Rule(
    id="harms-water-life",
    group="hazard",
    title="The solution does not harm water life",
    severity="note",
    applies_to="solutions whose class was worked out",
    citation=(cite("clp-annex-i", "Annex I, Tables 4.1.1 and 4.1.2"),),
    rationale="What goes down the sink ends in a river.",
    remedy="Collect what is left over; see the waste lines of the plan.",
    gather=gather,
    check=check,
    examples=(
        Example("500 mL of 0.5 M copper sulfate pentahydrate", "fired",
                "The made solution is Aquatic Chronic 2 (H411): copper(II) sulfate at 7.41 % w/w against the generic "
                "limit of 2.5 %."),
        Example("500 mL of 0.5 M sodium hydroxide", "passed"),
        Example("make some acid", "not_applicable"),
    ),
)
