"""A solution of an element names the salt or the stock it is made from."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Open
from rules.reading import question
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite


@only_where("open", "element")
def gather(plan: DraftPlan) -> Open | tuple[()] | None:
    if plan.opens and (found := plan.open_about("element-source")):
        return found
    return () if any(item.substance.family == "element" for item in plan.ingredients) else None


def check(_plan: DraftPlan, found: Open | tuple[()]) -> Iterable[Hit]:
    return (question(found),) if isinstance(found, Open) else ()


RULE = Rule(
    id="element-source-missing",
    group="identity",
    title="What the element comes from is settled",
    severity="ask",
    applies_to="solutions that name an element only",
    citation=(cite("practice", "common practice: the salt stands on the plan, the element on the label"),),
    rationale="A metal does not dissolve in water, and its salts differ in mass and hazard.",
    remedy="Name the salt, for example 'as Zn from zinc sulfate heptahydrate', or the standard that is diluted.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.1 M zinc 250 mL",
            "fired",
            "From which salt is the zinc solution made? The metal itself does not dissolve in water. (zinc "
            "chloride; zinc sulfate monohydrate; zinc sulfate heptahydrate; zinc nitrate tetrahydrate; zinc "
            "nitrate hexahydrate)",
        ),
        Example("100 mL of 10 mg/L iron from a 100 mg/L standard", "passed"),
        Example("0.1 M sodium chloride 250 mL", "not_applicable"),
    ),
)
