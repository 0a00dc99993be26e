"""Explosives, chemical weapons, drugs and their like are not made."""

from collections.abc import Iterable
from functools import lru_cache

from grammar.request import Combine
from rules.made import asked_for
from rules.plan import DraftPlan
from rules.policies import Policy, RefusedTerm
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.tables.load import Cite, cite


def gather(plan: DraftPlan) -> list[Hit] | None:
    listed = plan.policy.ask_first
    found = [_hit(f"{sentence(kind.name)}: {asked.reason}", asked.approvable, asked.cite) for kind in asked_for(plan)
             if (asked := listed.get(kind.slug)) is not None and asked.action == "refuse"]
    for words in _typed(plan):
        term = _refused(plan.policy, words)
        if term is not None:
            reason = f"{sentence(term.term)}: {term.reason}"
            found.append(_hit(reason, False) if term.kind != "hold" else Hit(f"{reason}.", "Ask the safety officer.", severity="hold"))
    return found or None


@lru_cache(maxsize=4096)
def _refused(policy: Policy, words: str) -> RefusedTerm | None:
    return policy.refused(words)


def _hit(message: str, approvable: bool, *cites: Cite) -> Hit:
    return Hit(f"{message}.", approvable=approvable, cites=cites)


def _typed(plan: DraftPlan) -> list[str]:
    """The names as typed, where no table holds the substance: a refused name needs no entry to be refused."""
    if isinstance(plan.request, Combine):
        return [named.as_typed or named.name for named in plan.request.solutes]
    return [part.solute.as_typed or part.solute.name for part in plan.request.components]


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
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
