"""Which form of the substance (anhydrous or which hydrate) is settled before any mass is given."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Open
from rules.reading import question
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Open | tuple[()] | None:
    if plan.opens and (found := plan.open_about("form")):
        return found
    return () if any(len(item.substance.sold_forms) > 1 for item in plan.ingredients) else None


def check(_plan: DraftPlan, found: Open | tuple[()]) -> Iterable[Hit]:
    return (question(found),) if isinstance(found, Open) else ()


RULE = Rule(
    id="form-not-stated",
    group="identity",
    title="The form of the substance is settled",
    severity="ask",
    applies_to="substances sold in more than one form",
    citation=(cite("practice", "common practice: a name that fits several hydrates is asked back"),),
    rationale="Forms of one salt differ in mass by up to half or more; the wrong one gives the wrong strength with no sign of it.",
    remedy="Read the formula on the bottle and name that form.",
    gather=gather,
    check=check,
    examples=(
        Example("500 mL of 0.1 M copper sulfate", "fired", ""),
        Example("500 mL of 0.1 M copper sulfate pentahydrate", "passed"),
        Example("500 mL of 0.1 M sodium chloride", "not_applicable"),
    ),
)
