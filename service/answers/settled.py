"""The one solute a question is about, and what cannot be answered because no such solution can exist."""

from dataclasses import replace

from grammar.request import Component, Misread, Prepare, Source
from grammar.units import UNITS
from rules.plan import DraftPlan, Ingredient, Open
from rules.tables.load import cite
from rules.tables.masses import molar_mass
from rules.tables.substances import Form, Substance
from service.answers.terms import Consider, Refused
from service.bench import Bench
from service.planner.basis import basis_formula
from service.planner.ingredients import ingredient


def settle(request: Prepare, bench: Bench) -> tuple[DraftPlan, Ingredient] | Open | Misread:
    """The one solute of a request, resolved, with the draft that holds what was assumed on the way."""
    if len(request.components) != 1:
        return Misread("one-solute-only", "A value is asked of more than one solute.", "Ask for one at a time.")
    plan = DraftPlan(request, bench.lab, bench.policy)
    found = ingredient(plan, request, 0)
    if isinstance(found, Misread) and found.code == "substance-unknown":
        return _ion(plan, request.components[0]) or _by_formula(plan, request.components[0]) or found
    if isinstance(found, Open) and found.about == "element-source":
        return _ion(plan, request.components[0]) or found
    if isinstance(found, Ingredient) and found.form.water not in ("0", "x") and not found.component.solute.name:
        # "4.13 g of MgBr2" of a salt sold with water only: the formula as typed is what was weighed.
        return _by_formula(plan, request.components[0]) or (plan, found)
    return (plan, found) if isinstance(found, Ingredient) else found


def _ion(plan: DraftPlan, component: Component) -> tuple[DraftPlan, Ingredient] | None:
    """An ion or element that is only counted ("250 ppm Ca in mol/L"): its formula mass is enough."""
    word = component.solute.name or component.solute.formula or ""
    formula, counted = basis_formula(word), component.strength
    dilute = counted is not None and UNITS[counted.unit].dimension in ("molar", "mass per volume", "parts")
    if formula is None or not dilute:
        return None
    mass, u_mass = molar_mass(formula)
    slug, weights = f"ion-{formula.lower()}", cite("ciaaw-2021", "standard atomic weights")
    form = Form(f"{slug}/ion", slug, "pure", "0", formula, "", "solution", False, False, mass, u_mass, weights)
    kind = Substance(slug, word, formula, "mixture", (form,), mass, u_mass, weights)
    plan.assumptions.append(f"{word} is counted as {formula} itself, {mass:.3f} g/mol.")
    return plan, Ingredient(component, kind, form, form, "stock")


def _by_formula(plan: DraftPlan, component: Component) -> tuple[DraftPlan, Ingredient] | None:
    """A substance that was typed as a formula alone ("4.13 g of MgBr2"): its formula mass is enough for a sum."""
    named = component.solute
    plain = named.formula and not named.name and not named.cas and named.water is None and component.source is None
    by_mass = component.mass is not None or (component.strength is not None and not component.strength.of)
    try:
        mass, u_mass = molar_mass(named.formula or "") if plain and by_mass else (None, None)
    except ValueError:
        return None
    if mass is None or named.formula is None:
        return None
    slug, weights = f"formula-{named.formula.lower()}", cite("ciaaw-2021", "standard atomic weights")
    form = Form(f"{slug}/as-typed", slug, "pure", "0", named.formula, "", "solid", False, False, mass, u_mass, weights)
    kind = Substance(slug, named.formula, named.formula, "mixture", (form,), mass, u_mass, weights)
    plan.assumptions.append(f"{named.formula} is counted by its formula as typed, {mass:.3f} g/mol, without water.")
    return plan, Ingredient(component, kind, form, form, "solid")


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
