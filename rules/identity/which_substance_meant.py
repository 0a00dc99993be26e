"""A name that fits several substances is settled before anything is planned."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Open
from rules.reading import question
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Open | tuple[()] | None:
    if plan.opens and (found := plan.open_about("which-substance")):
        return found
    return () if plan.ingredients else None


def check(_plan: DraftPlan, found: Open | tuple[()]) -> Iterable[Hit]:
    return (question(found),) if isinstance(found, Open) else ()


RULE = Rule(
    id="which-substance-meant",
    group="identity",
    title="The name means one substance",
    severity="ask",
    applies_to="every solute",
    citation=(
        cite("practice", "common practice: a trivial or shortened name is resolved with the asker, never guessed"),
    ),
    rationale="Sodium phosphate, EDTA, soda and the like are several bottles on the shelf.",
    remedy="Give the full name or the formula on the bottle.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.1 M sodium phosphate 1 L",
            "fired",
            "'sodium phosphate' may mean 3 substances. Which one is in the bottle? (anhydrous disodium "
            "hydrogen phosphate; disodium hydrogen phosphate dihydrate; disodium hydrogen phosphate "
            "heptahydrate; disodium hydrogen phosphate dodecahydrate; anhydrous sodium dihydrogen phosphate; "
            "sodium dihydrogen phosphate monohydrate; sodium dihydrogen phosphate dihydrate; anhydrous "
            "trisodium phosphate; trisodium phosphate dodecahydrate)",
        ),
        Example("0.1 M sodium chloride 1 L", "passed"),
        Example("0.1 M copper sulfate 1 L", "not_applicable"),
    ),
)
