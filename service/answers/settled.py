"""The one solute a question is about, and what cannot be answered because no such solution can exist."""

from dataclasses import replace

from grammar.request import Misread, Prepare, Source
from rules.plan import DraftPlan, Ingredient, Open
from service.answers.terms import Consider, Refused
from service.bench import Bench
from service.planner.ingredients import ingredient


def settle(request: Prepare, bench: Bench) -> tuple[DraftPlan, Ingredient] | Open | Misread:
    """The one solute of a request, resolved, with the draft that holds what was assumed on the way."""
    if len(request.components) != 1:
        return Misread("one-solute-only", "A value is asked of more than one solute.", "Ask for one at a time.")
    plan = DraftPlan(request, bench.lab, bench.policy)
    found = ingredient(plan, request, 0)
    return (plan, found) if isinstance(found, Ingredient) else found


def form_does_not_matter(request: Prepare) -> Prepare:
    """The request as of a solution that is there: moles in it do not depend on the solid it was made from."""
    component = request.components[0]
    if (
        component.strength is None
        or component.source is not None
        or component.strength.unit not in ("mol/L", "mmol/L", "umol/L")
    ):
        return request
    poured = replace(component, source=Source(kind="stock", strength=component.strength))
    return replace(request, components=(poured,))


def refusal(request: Prepare, bench: Bench, consider: Consider) -> Refused | None:
    """The refusal where no such solution can exist or may be made: what a rule stops at is given no number."""
    judged = consider(request, bench)
    stops = tuple(f for f in judged.findings if f.result == "fired" and f.severity == "stop")
    if not stops:
        return None
    first = min(stops, key=lambda f: f.approvable)
    return Refused(Misread(first.rule, first.message, first.remedy), stops)
