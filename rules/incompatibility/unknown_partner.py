"""Everything that is to be mixed is known."""

from collections.abc import Iterable

from grammar.request import Combine
from rules.handled import names
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.household import household
from rules.tables.load import cite


@only_where("combine")
def gather(plan: DraftPlan) -> list[str] | None:
    if not isinstance(plan.request, Combine):
        return None
    known = {words for words, _ in plan.combined}
    return [words for solute in plan.request.solutes
            if (words := solute.as_typed or solute.name) not in known or household(words)]


def check(plan: DraftPlan, unknown: list[str]) -> Iterable[Hit]:
    if unknown:
        others = [kind for words, kind in plan.combined if not household(words)]
        held = names(others) if others else "anything"
        yield Hit(f"Nothing is held on '{names(unknown)}', so nothing says what it does with {held}.")


RULE = Rule(
    id="unknown-partner",
    group="incompatibility",
    title="Everything that is to be mixed is known",
    severity="stop",
    applies_to="requests to mix substances",
    citation=(cite("practice", "common practice"),),
    rationale="A household or trade product may hold acid, ammonia or bleach without saying so in its name.",
    remedy="Do not mix it. Read what is in it on its label or sheet and ask again with those substances.",
    gather=gather,
    check=check,
    examples=(
        Example("mix bleach and toilet acid", "fired",
                "Nothing is held on 'toilet acid', so nothing says what it does with sodium hypochlorite."),
        Example("mix sodium chloride with potassium chloride", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
