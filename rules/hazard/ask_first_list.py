"""Substances on the ask-first list, of the law or of the house, are made only with permission."""

from collections.abc import Iterable

from rules.house import Ask
from rules.made import asked_for
from rules.plan import DraftPlan, Ingredient
from rules.policies import LOCAL
from rules.rule import Example, Hit, Rule
from rules.saying import say, sentence
from rules.tables.load import cite
from rules.tables.substances import Substance


def gather(plan: DraftPlan) -> list[Hit] | None:
    found = []
    for kind in asked_for(plan):
        listed = plan.policy.ask_first.get(kind.slug)
        if listed is not None and listed.action == "hold":
            found.append(Hit(f"{sentence(kind.name)} is on the ask-first list: {listed.reason}.", approvable=listed.approvable,
                             cites=(listed.cite,)))
        for ask in plan.policy.house.asks(kind.slug):
            why = _why(plan, kind, ask)
            if why is not None:
                found.append(_local(kind, ask, why))
    return found or None


def _why(plan: DraftPlan, kind: Substance, ask: Ask) -> str | None:
    """Why an entry of the house counts for this plan, in words that follow the name; None where it does not.

    What is not known counts as above. A limit says nothing of a substance whose amount is still open, or that is only
    named beside another.
    """
    if ask.always:
        return ""
    item = next((item for item in plan.ingredients if item.substance.slug == kind.slug), None)
    if item is None or plan.opens or plan.problem is not None:
        return None
    grams = _grams(item)
    for limit, value, unit in ((ask.above_mol_L, item.target_mol_L, "mol/L"), (ask.above_g, grams, "g")):
        if limit is not None and value is None:
            return f", whose amount in {unit} is not known here,"
        if limit is not None and value is not None and value > limit * (1 + 1e-9):
            return f" at {say(value, unit)} is above {limit:g} {unit} and"
    return None


def _grams(item: Ingredient) -> float | None:
    if item.moles is not None and item.substance.molar_mass:
        return item.moles * item.substance.molar_mass
    return item.solute_mass_g if item.solute_mass_g is not None else item.mass_g


def _local(kind: Substance, ask: Ask, why: str) -> Hit:
    if ask.action == "refuse":
        return Hit(f"{sentence(kind.name)}{why} is not made in this house: {ask.reason}.",
                   "Choose another substance, or ask for less.", "stop", approvable=False, cites=(LOCAL,))
    two = "; two people must allow it" if ask.two_person else ""
    return Hit(f"{sentence(kind.name)}{why} is on the ask-first list of this house: {ask.reason}{two}.", cites=(LOCAL,))


def check(_plan: DraftPlan, found: list[Hit]) -> Iterable[Hit]:
    return found


RULE = Rule(
    id="ask-first-list",
    group="hazard",
    title="Nothing on the ask-first list",
    severity="hold",
    applies_to="substances on the ask-first list of the policy",
    citation=(cite("practice", "common practice: list of substances that are asked about first"),),
    rationale="For some substances the question is not how, but whether.",
    remedy="Ask whether something milder does the job; otherwise the safety officer allows it, with conditions.",
    gather=gather,
    check=check,
    examples=(
        Example("100 mL of 0.1 M potassium dichromate", "fired",
                "Potassium dichromate is on the ask-first list: carcinogen, mutagen and reproductive toxicant 1B."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
