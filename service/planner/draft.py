"""A request worked out into a draft plan: resolve, amounts, route, ware, steps, uncertainty. Pure; nothing is stored.

Drafting stops at the first thing that must be settled: a question (``plan.opens``) or a misreading (``plan.problem``).
Each option of a question is a whole request, so what it would give is found by drafting it.
"""

import re
from dataclasses import replace
from math import isclose

from grammar.request import Combine, Misread, Named, Prepare
from grammar.units import UNITS
from rules.plan import DraftPlan, Ingredient, Open, Option
from rules.tables.behaviour import behaviours
from rules.tables.household import household
from service.bench import Bench
from service.planner.amounts import set_target
from service.planner.buffers import settle_buffers
from service.planner.companions import ask_strong_ph, with_iodide
from service.planner.figures import show
from service.planner.finish import finish
from service.planner.ingredients import ingredient
from service.planner.made_up import with_strength_made
from service.planner.matching import matches
from service.planner.mixtures import settle_mixtures
from service.planner.ph import set_ph
from service.planner.questions import ask_about_strength
from service.planner.reagent_mass import ask_mass_of_reagent
from service.planner.said_twice import against_other_strength
from service.planner.settling import settled_strength
from service.planner.sources import measure_source
from service.planner.strength import strength_of
from service.planner.totals import settle_total
from service.planner.vessels import choose_batches

Stop = Open | Misread | None
#: Two statements of one amount agree within this share (rounding of a textbook mass).
SAME_AMOUNT = 0.01
#: A strength above this in any unit is a slip of the keyboard, not a request.
MOST_TYPED = 10**9
LEAST_PH, MOST_PH = -2, 16
#: Water's density is held from 0 to 40 degC; a request at another temperature is worked out at 20 degC.
MOST_degC = 40


def draft(request: Prepare | Combine, bench: Bench) -> DraftPlan:
    """The plan as far as it goes."""
    plan = DraftPlan(request, bench.lab, bench.policy)
    if isinstance(request, Combine):
        _combine(plan, request)
        return plan
    asked = request.temperature
    if asked is not None and asked.unit == "degC" and 0 <= asked.value <= MOST_degC:
        plan.temperature_degC = float(asked.value)
    if asked is not None and not 0 <= asked.value <= 100 and request.solvent in (None, "water"):
        plan.problem = Misread(
            "temperature-impossible", f"Water is not liquid at {asked.value:f} degC, so nothing is made up there.",
            "Give the temperature at which it is made up; say 'dried at' or 'kept at' where that was meant.",
        )  # fmt: skip
        return plan
    if request.ph is not None and not LEAST_PH <= request.ph <= MOST_PH:
        plan.problem = Misread(
            "ph-impossible", f"No solution in water has pH {request.ph:.4g}.", "Give a pH between 0 and 14."
        )
        return plan
    settled = _named_blends(plan, request)
    if settled is None:
        return plan
    plan.request = request = with_strength_made(plan, settled)
    stop = settle_total(plan, request) if request.components else _missing_substance()
    for index in range(len(request.components)):
        found = ingredient(plan, request, index)
        if isinstance(found, Ingredient):
            plan.ingredients.append(found)
        else:
            stop = _earlier(found, stop)
    if stop is None:
        stop = _missing(plan) or ask_strong_ph(plan, request) or _work_out(plan, request)
    if stop is None and plan.recipe is None:
        joined = with_iodide(plan, request)
        if isinstance(joined, Prepare):
            again = draft(joined, bench)
            again.assumptions.append("Potassium iodide is taken at twice the mass of the iodine (common practice).")
            return again
        stop = joined
    if isinstance(stop, Open):
        plan.opens.append(stop)
    elif isinstance(stop, Misread):
        plan.problem = stop
    elif not plan.opens:
        set_ph(plan)
        finish(plan)
    return plan


def _named_blends(plan: DraftPlan, request: Prepare) -> Prepare | None:
    """Recipes and buffers asked for by name replaced by their parts; None where that already settles the plan."""
    found = settle_mixtures(plan, request)
    if isinstance(found, Prepare):
        found = settle_buffers(plan, found)
    if isinstance(found, Open):
        plan.opens.append(found)
    elif isinstance(found, Misread):
        plan.problem = found
    return found if isinstance(found, Prepare) else None


def _earlier(new: Stop, old: Stop) -> Stop:
    """A misread substance comes before any question; a question about the substance before one about the total."""
    return new if isinstance(new, Misread) or not isinstance(old, Misread) else old


def _missing_substance() -> Misread:
    return Misread(
        "substance-missing",
        "No substance was named.",
        "Name the substance, for example '250 mL of 0.1 M sodium chloride'.",
    )


def _combine(plan: DraftPlan, request: Combine) -> None:
    for named in request.solutes:
        for match in matches(named):
            plan.combined.append((named.as_typed or named.name, match.substance))
        product = household(named.as_typed or named.name)
        if product is not None:
            plan.combined.append((named.as_typed or named.name, product))
    if not plan.combined:
        typed = ", ".join(n.as_typed or n.name for n in request.solutes)
        plan.problem = Misread(
            "substance-unknown",
            f"Nothing is held on '{typed}', so nothing can be said about bringing them together.",
            "Check the names on the bottles, or give formulas or CAS numbers. Do not mix what you cannot look up.",
        )


def _missing(plan: DraftPlan) -> Stop:
    for item in plan.ingredients:
        if item.component.strength is None and item.component.mass is None:
            return Open(
                "strength",
                f"How strong should the {item.substance.name} solution be?",
                remedy="Add a strength, for example '0.1 M' or '5 % w/v'.",
            )
    if plan.total_mL is None and plan.total_g is None:
        return Open("total", "How much of the solution is wanted?", remedy="Add a volume, for example '250 mL'.")
    return _unknown_solvent(plan)


def _unknown_solvent(plan: DraftPlan) -> Stop:
    """Solubility is held for water alone; another solvent is taken only where the bench table names it for the solid."""
    request = plan.request
    assert isinstance(request, Prepare)
    solvent = request.solvent
    if solvent is None or "water" in solvent.lower():
        return None
    for item in plan.ingredients:
        held = behaviours(item.substance.slug, item.form.label)
        named = held.get("also-dissolves-in") or held.get("dissolve-in") or held.get("slow-to-dissolve")
        called = " ".join(
            [solvent, *(m.substance.name for m in (*matches(Named(formula=solvent)), *matches(Named(name=solvent))))]
        )
        if item.form.state == "solid" and (named is None or not set(_words(called)) & set(_words(named.detail))):
            return Open(
                "solvent",
                f"Nothing is held on how much {item.substance.name} dissolves in {solvent}. Is it to be made in water?",
                (Option("water", "in water", replace(request, solvent=None)),),
                remedy=f"If it must be {solvent}, try a small portion first and have the method looked at.",
            )
    return None


def _words(text: str) -> list[str]:
    return re.findall(r"[a-z]+", text.lower())


def _work_out(plan: DraftPlan, request: Prepare) -> Stop:
    """Batches, then every ingredient's amounts; the first thing to settle stops the work."""
    if plan.total_mL is not None and not plan.solvent_by_mass:
        choose_batches(plan, exact_needed=request.purpose in ("accurate", "standard"))
    for index, item in enumerate(plan.ingredients):
        stop = _amounts(plan, request, item, index)
        if stop is not None:
            return stop
    return _named_twice(plan)


def _named_twice(plan: DraftPlan) -> Misread | None:
    """One substance given twice: one measure where both say the same amount, else the person must say which holds."""
    if plan.recipe is not None or plan.ph_setting is not None:
        return None
    kept: list[Ingredient] = []
    for item in plan.ingredients:
        twin = next((k for k in kept if k.substance.slug == item.substance.slug), None)
        if twin is None:
            kept.append(item)
            continue
        same = twin.kind == item.kind and isclose(_measured(twin), _measured(item), rel_tol=SAME_AMOUNT)
        if not same:
            return Misread(
                "substance-twice",
                f"{item.substance.name} is given twice, and the two do not say the same: {_said(twin)} and {_said(item)}.",
                "Say which of the two holds; of a stock and what is made from it, write 'from' before the stock.",
            )
        plan.assumptions.append(f"{item.substance.name} is given twice with the same amount, and is measured once.")
    plan.ingredients = kept
    return None


def _measured(item: Ingredient) -> float:
    return item.mass_g if item.mass_g is not None else item.volume_mL or 0.0


def _said(item: Ingredient) -> str:
    strength, mass = item.component.strength, item.component.mass
    return f"{strength.value} {strength.unit}" if strength else f"{mass.value} {mass.unit}" if mass else "no amount"


def _amounts(plan: DraftPlan, request: Prepare, item: Ingredient, index: int) -> Stop:
    typed = item.component.strength
    if typed is None:
        return ask_mass_of_reagent(plan, request, item, index) or _given_mass(item)
    if typed.value <= 0:
        return Misread(
            "strength-not-positive",
            f"A strength of {typed.value} {typed.unit} makes no solution.",
            "Give a strength above zero.",
        )
    if typed.value > MOST_TYPED:
        return Misread(
            "number-too-large", f"{typed.value:.3g} {typed.unit} is no strength of anything.", "Check the digits."
        )
    as_typed = strength_of(typed)
    if item.substance.family == "mixture" and not item.form.molar_mass and ratio_alone(item):
        return measure_source(plan, item, index, as_typed)
    target = settled_strength(plan, item, as_typed)
    if target is None:
        if not ratio_alone(item):
            return ask_about_strength(request, item, index)
        return measure_source(plan, item, index, as_typed)
    stop = set_target(plan, item, target) or against_other_strength(plan, request, item, index)
    if stop is not None:
        return stop
    return measure_source(plan, item, index, as_typed if ratio_alone(item) else target) or _against_stated_mass(
        plan, item
    )


def _against_stated_mass(plan: DraftPlan, item: Ingredient) -> Misread | None:
    """A mass stated beside the strength must be the one the strength needs."""
    stated = item.component.mass
    if stated is None or item.mass_g is None:
        return None
    grams = float(stated.value * UNITS[stated.unit].factor)
    if isclose(grams, item.mass_g, rel_tol=SAME_AMOUNT):
        plan.assumptions.append(
            f"The {stated.value} {stated.unit} stated agrees with {show(item.mass_g, 'g')}, worked out from the strength."
        )
        return None
    return Misread(
        "mass-and-strength-disagree",
        f"{stated.value} {stated.unit} of {item.substance.name} was stated, and the strength needs {show(item.mass_g, 'g')}.",
        "Say which of the two holds: leave out the mass or the strength. To check an answer, ask 'is ... right?'.",
    )


def ratio_alone(item: Ingredient) -> bool:
    """Whether both strengths of a dilution are in the same terms, so that only their ratio counts."""
    source, typed = item.component.source, item.component.strength
    if item.kind != "stock" or source is None or source.strength is None or typed is None:
        return False
    return strength_of(source.strength).family == strength_of(typed).family


def _given_mass(item: Ingredient) -> Stop:
    mass = item.component.mass
    assert mass is not None
    if mass.value <= 0:
        return Misread(
            "strength-not-positive", f"{mass.value} {mass.unit} makes no solution.", "Give a mass above zero."
        )
    grams = float(mass.value * UNITS[mass.unit].factor)
    item.mass_g = grams
    item.solute_mass_g = grams * item.purity
    if item.form.molar_mass:
        item.moles = grams * item.purity / item.form.molar_mass
    return None
