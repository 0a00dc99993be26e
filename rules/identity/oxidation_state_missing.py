"""The oxidation state of a metal that is sold in two is settled."""

import re
from collections.abc import Iterable

from rules.plan import DraftPlan, Open
from rules.reading import question
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite

_STATE = re.compile(r"\([IV]+\)")


@only_where("open", "oxidation state")
def gather(plan: DraftPlan) -> Open | tuple[()] | None:
    if plan.opens and (found := plan.open_about("oxidation-state")):
        return found
    return () if any(_STATE.search(item.substance.name) for item in plan.ingredients) else None


def check(_plan: DraftPlan, found: Open | tuple[()]) -> Iterable[Hit]:
    return (question(found),) if isinstance(found, Open) else ()


RULE = Rule(
    id="oxidation-state-missing",
    group="identity",
    title="The oxidation state is settled",
    severity="ask",
    applies_to="metals whose salts are sold in more than one oxidation state",
    citation=(cite("iupac-redbook-2005", "IR-5.4.2: oxidation numbers in names"),),
    rationale="The two salts differ in mass, colour, reactions and hazards; nothing else in the request tells them apart.",
    remedy="Write the oxidation state in brackets, as on the bottle.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.1 M iron chloride 250 mL",
            "fired",
            "'iron chloride' may mean 2 substances. Which one is in the bottle? (iron(II) chloride "
            "tetrahydrate; anhydrous iron(III) chloride; iron(III) chloride hexahydrate)",
        ),
        Example("0.1 M iron(III) chloride hexahydrate 250 mL", "passed"),
        Example("0.1 M sodium chloride 250 mL", "not_applicable"),
    ),
)
