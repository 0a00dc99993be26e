"""No two substances that are brought together react with each other."""

from collections.abc import Iterable
from typing import cast

from rules.handled import called, names
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule, Severity, Unchecked
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.groups import Clash, clashes, groups_of
from rules.tables.load import cite
from rules.tables.pka import system_of

REFUSED = "Do not bring them together. Keep the bottles and the waste apart."
ALLOWED = "Keep them in separate bottles unless the method calls for both; have the method looked at first."


def _both_buffer(plan: DraftPlan, clash: Clash) -> bool:
    """Two halves of one buffer or recipe are meant to neutralise each other; only that is passed over, never a danger."""
    wanted = plan.recipe is not None or plan.ph_setting is not None
    return wanted and clash.severity == "caution" and system_of(clash.a) is not None and system_of(clash.b) is not None


@only_where("several")
def gather(plan: DraftPlan) -> list[Clash] | Unchecked | None:
    if len(plan.ingredients) + len(plan.combined) < 2:
        return None
    typed = [(i.substance.slug, i.substance) for i in plan.ingredients] + plan.combined
    # One typed name may mean several substances; those are not brought together.
    found = [clash for at, (words, one) in enumerate(typed) for other_words, other in typed[at + 1:] if words != other_words
             for clash in clashes((one.slug, other.slug))[:1] if not _both_buffer(plan, clash)]
    unplaced = [kind for _, kind in typed if not groups_of(kind.slug)]
    if not found and unplaced:
        return Unchecked(f"No reactive group is held for {names(unplaced)}, so nothing says whether it reacts with the rest.")
    return found


def check(_plan: DraftPlan, found: list[Clash]) -> Iterable[Hit]:
    for clash in found:
        yield Hit(f"{sentence(called(clash.a))} with {called(clash.b)}: {clash.consequence}.", ALLOWED if clash.approvable else REFUSED,
                  severity=cast(Severity, clash.severity), approvable=clash.approvable, cites=(clash.cite,))


RULE = Rule(
    id="incompatible-pair",
    group="incompatibility",
    title="Nothing that is brought together reacts",
    severity="stop",
    applies_to="two or more substances in one vessel",
    citation=(cite("prudent-practices-1995", "table of incompatible chemicals"),),
    rationale=("Toxic gas, fire and explosion come from ordinary bottles put together; the names they go by do not "
               "matter."),
    remedy="Read section 10 of both safety data sheets and ask the safety officer before bringing them together.",
    gather=gather,
    check=check,
    examples=(
        Example("mix bleach with hydrochloric acid", "fired",
                "Sodium hypochlorite with hydrochloric acid: chlorine gas."),
        Example("mix sodium chloride with potassium chloride", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
