"""Answers counted from the plan: the water put in, the moles held, how it is standardised, how much can be made."""

from grammar.request import Prepare, Request
from rules.plan import Amount
from rules.tables.load import cite
from service.answers.about import ways_to_standardise
from service.answers.terms import Considered
from service.conversations.told import Answer, name_of
from service.planner.figures import show

_MIXING = cite("practice", "volumes do not add up exactly when liquids are mixed")


def water(judged: Considered, _: Request) -> Answer:
    """How much water goes in; of a solution made up to a mark only about how much."""
    plan = judged.plan
    if not plan.measures:
        return Answer("No amount is settled yet.")
    measured = [m.amount for m in plan.measures if m.ingredient is not None]
    if plan.solvent_by_mass and plan.total_g and all(a.unit == "g" for a in measured):
        grams = plan.total_g - sum(a.value for a in measured)
        return Answer(f"{show(grams, 'g')} of water.", amount=Amount(grams, "g", show(grams, "g")))
    if plan.total_mL is None or plan.solvent_by_mass:
        return Answer("The water of this plan is not counted apart.")
    if any(a.unit != "mL" for a in measured) or len(measured) != 1 or (plan.route and len(plan.route.dilutions) > 1):
        return Answer(f"It is not measured: water is added until the volume is {show(plan.total_mL, 'mL')}.")
    volume = plan.total_mL - measured[0].value
    if volume <= 0:
        return Answer("No water is added in this plan.")
    said = show(volume, "mL")
    return Answer(
        f"About {said}: {show(plan.total_mL, 'mL')} less {measured[0].display}. It is not measured: make up to the mark.",
        (_MIXING,),
        Amount(volume, "mL", said),
    )


def moles(judged: Considered, _: Request) -> Answer:
    """The moles of the solute in the whole of the solution."""
    plan, item = judged.plan, judged.plan.main
    if item is None or not item.target_mol_L or plan.total_mL is None or not plan.measures or len(plan.ingredients) > 1:
        return Answer("The moles do not follow from this plan: a strength of one solute and a volume are needed.")
    if plan.series is not None or (len(plan.batches) > 1 and plan.recipe is not None):
        return Answer("More than one solution is made: ask for one of them.")
    amount = item.target_mol_L * plan.total_mL / 1000
    figures = max(3, min(plan.strength_figures, 6))
    said = show(amount, "mol", figures)
    line = f"n = c V = {item.target_mol_L:.5g} mol/L x {plan.total_mL / 1000:g} L = {amount:.5g} mol"
    return Answer(
        f"{show(plan.total_mL, 'mL')} holds {said} of {name_of(plan)}.",
        amount=Amount(amount, "mol", said),
        working=(("formulas", [line]),),
    )


def standardise(judged: Considered, _: Request) -> Answer:
    """The titrations held by which a solution of it is standardised."""
    item = judged.plan.main
    return Answer("No substance is settled yet.") if item is None else ways_to_standardise(item.substance)


def most(judged: Considered, request: Request) -> Answer:
    """How much can be made depends on how much there is, which no plan says."""
    strength = request.components[0].strength if isinstance(request, Prepare) and request.components else None
    at = f" at {strength.value} {strength.unit}" if strength is not None else ""
    return Answer(
        f"That depends on how much there is. Say it, for example 'I only have 25 g', or ask: what volume can be made "
        f"from 25 g of {name_of(judged.plan)}{at}?"
    )
