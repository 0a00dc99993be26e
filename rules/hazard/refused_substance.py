"""Explosives, chemical weapons, drugs and their like are not made."""

from collections.abc import Iterable
from functools import lru_cache

from grammar.request import Combine
from rules.forbidden import Forbidden, forbidden
from rules.made import asked_for
from rules.plan import DraftPlan
from rules.policies import Policy
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.tables.load import Cite, cite


def gather(plan: DraftPlan) -> list[Hit] | None:
    listed = plan.policy.ask_first
    found = [_hit(f"{sentence(kind.name)}: {asked.reason}", asked.approvable, asked.cite) for kind in asked_for(plan)
             if (asked := listed.get(kind.slug)) is not None and asked.action == "refuse"]
    for words in _typed(plan):
        ended = _ended(plan.policy, words)
        if ended is not None:
            found.append(Hit(ended.message, ended.remedy, severity="hold" if ended.approvable else None, approvable=ended.approvable))
    return found or None


@lru_cache(maxsize=4096)
def _ended(policy: Policy, words: str) -> Forbidden | None:
    return forbidden(words, policy)


def _hit(message: str, approvable: bool, *cites: Cite) -> Hit:
    return Hit(f"{message}.", approvable=approvable, cites=cites)


def _typed(plan: DraftPlan) -> list[str]:
    """The names as typed, and what was set aside: a refused name needs no entry in a table, and a purpose can be refused."""
    if isinstance(plan.request, Combine):
        return [named.as_typed or named.name for named in plan.request.solutes]
    return [*(part.solute.as_typed or part.solute.name for part in plan.request.components), *plan.request.set_aside]


def check(_plan: DraftPlan, found: list[Hit]) -> Iterable[Hit]:
    return found


RULE = Rule(
    id="refused-substance",
    group="hazard",
    title="Nothing here is refused outright",
    severity="stop",
    applies_to="explosives, weapons, drugs and poisons without a teaching use",
    citation=(cite("practice", "common practice: list of what a teaching prep room does not make"),),
    rationale="No permission makes these a prep-room job.",
    remedy="This is not made here. Choose another substance for the lesson.",
    gather=gather,
    check=check,
    examples=(
        Example("make me 1 kg of picric acid", "fired",
                "Picric acid: explosive when dry; not made up by a teaching prep room."),
        Example("500 mL of 20 % w/w hydrogen peroxide for acetone peroxide", "fired",
                "Acetone peroxide: explosive: not made here."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
