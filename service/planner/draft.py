"""A request worked out into a draft plan: resolve, amounts, route, ware, steps, uncertainty. Pure; nothing is stored.

Drafting stops at the first thing that must be settled: a question (``plan.opens``) or a misreading (``plan.problem``).
Each option of a question is a whole request, so what it would give is found by drafting it.
"""

from grammar.request import Combine, Misread, Prepare, Quantity
from rules.plan import DraftPlan, Ingredient, Open, Option
from rules.tables.substances import Substance
from service.bench import Bench
from service.planner.amounts import set_target, typed_strength
from service.planner.basis import as_salt, count_by_element, grams_of_basis, salts_of
from service.planner.bottles import pours_from_stock, settle_kind
from service.planner.finish import finish
from service.planner.questions import ask_about_strength, settled_normality, with_component
from service.planner.resolve import Resolved, form_name, matches, resolve, settle_form
from service.planner.sources import measure_source
from service.planner.strength import Strength, strength_of
from service.planner.totals import settle_total
from service.planner.vessels import choose_batches

Stop = Open | Misread | None


def draft(request: Prepare | Combine, bench: Bench) -> DraftPlan:
    """The plan as far as it goes."""
    plan = DraftPlan(request, bench.lab, bench.policy)
    if isinstance(request, Combine):
        _combine(plan, request)
        return plan
    stop = settle_total(plan, request) if request.components else _missing_substance()
    for index in range(len(request.components)):
        found = _ingredient(plan, request, index)
        if isinstance(found, Ingredient):
            plan.ingredients.append(found)
        else:
            stop = _earlier(found, stop)
    if stop is None:
        stop = _missing(plan) or _work_out(plan, request)
    if isinstance(stop, Open):
        plan.opens.append(stop)
    elif isinstance(stop, Misread):
        plan.problem = stop
    elif not plan.opens:
        finish(plan)
    return plan


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
    if not plan.combined:
        typed = ", ".join(n.as_typed or n.name for n in request.solutes)
        plan.problem = Misread(
            "substance-unknown",
            f"Nothing is held on '{typed}', so nothing can be said about bringing them together.",
            "Check the names on the bottles, or give formulas or CAS numbers. Do not mix what you cannot look up.",
        )


def _ingredient(plan: DraftPlan, request: Prepare, index: int) -> Ingredient | Open | Misread:
    component = count_by_element(request.components[index])
    from_stock = pours_from_stock(component)
    request = with_component(request, index, component)
    found = resolve(component, settle_form(request, index), form_matters=not from_stock)
    if not isinstance(found, Resolved):
        return found
    if found.assumption:
        plan.assumptions.append(found.assumption)
    item = Ingredient(component, found.substance, found.counted, found.measured, "solid")
    if (
        found.substance.family == "element"
        and not from_stock
        and found.measured.state == "solid"
        and component.strength is not None
    ):
        salts = _element_from(request, index, found.substance)
        if salts is not None:
            return salts
    asked = settle_kind(plan, request, item, index)
    if asked is not None:
        return asked
    if not 0 < item.purity <= 1:
        return Misread(
            "purity-impossible",
            f"A purity of {item.purity * 100:g} % is not possible.",
            "Give the assay on the bottle, above 0 and at most 100 %.",
        )
    if component.strength is not None and component.strength.of:
        return _element_basis(item, component.strength)
    return item


def _element_from(request: Prepare, index: int, metal: Substance) -> Open | None:
    """A metal does not dissolve in water: ask which of its salts the solution is made from."""
    component = request.components[index]
    options = tuple(
        Option(
            form.key.replace("/", "-"),
            form_name(kind, form),
            with_component(request, index, as_salt(component, metal.formula, kind, form)),
        )
        for kind, form in salts_of(metal)
    )
    if not options:
        return None
    return Open(
        "element-source",
        f"From which salt is the {metal.name} solution made? The metal itself does not dissolve in water.",
        options,
    )


def _element_basis(item: Ingredient, strength: Quantity) -> Ingredient | Misread:
    grams = grams_of_basis(item, strength.of or "")
    if grams is None:
        return Misread(
            "basis-not-in-substance",
            f"{item.substance.name} holds no '{strength.of}' to count the strength by.",
            "State the strength as the substance itself, or as an element it contains.",
        )
    item.basis_g_per_mol = grams
    return item


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
    return None


def _work_out(plan: DraftPlan, request: Prepare) -> Stop:
    """Batches, then every ingredient's amounts; the first thing to settle stops the work."""
    if plan.total_mL is not None and not plan.solvent_by_mass:
        choose_batches(plan, exact_needed=request.purpose in ("accurate", "standard"))
    for index, item in enumerate(plan.ingredients):
        stop = _amounts(plan, request, item, index)
        if stop is not None:
            return stop
    return None


def _amounts(plan: DraftPlan, request: Prepare, item: Ingredient, index: int) -> Stop:
    typed = item.component.strength
    if typed is None:
        return _given_mass(item)
    if typed.value <= 0:
        return Misread(
            "strength-not-positive",
            f"A strength of {typed.value} {typed.unit} makes no solution.",
            "Give a strength above zero.",
        )
    target = strength_of(typed)
    if target.family == "%" and plan.total_mL is None and item.kind in ("solid", "concentrated"):
        plan.assumptions.append(f"{typed.value} % is taken as % w/w, because the total is a mass.")
        target = Strength("w/w", target.value)
    if target.family == "eq/L":
        settled = settled_normality(item)
        if settled:
            plan.assumptions.append(
                f"{typed.value} {typed.unit} is read with {settled[0]} equivalent{'s' if settled[0] != 1 else ''} in a mole "
                f"({settled[1].replace('-', ' ')}): {float(typed.value) / settled[0]:.4g} mol/L."
            )
            target = Strength("mol/L", target.value / settled[0])
    ratio_only = (
        item.kind == "stock"
        and _same_unit(item)
        and target.family in ("%", "m", "eq/L", "times", "mEq/L", "ppm", "volumes")
    )
    if not ratio_only:
        if target.family in ("%", "m", "eq/L", "mEq/L", "times"):
            return ask_about_strength(request, item, index)
        if target.family in ("ppm", "volumes"):
            target = typed_strength(plan, item)
        stop = set_target(plan, item, target)
        if stop is not None:
            return stop
    return measure_source(plan, item, index, target)


def _same_unit(item: Ingredient) -> bool:
    source, typed = item.component.source, item.component.strength
    return bool(source and source.strength and typed and source.strength.unit == typed.unit)


def _given_mass(item: Ingredient) -> Stop:
    mass = item.component.mass
    assert mass is not None
    grams = float(mass.value) * {"kg": 1e3, "g": 1.0, "mg": 1e-3, "ug": 1e-6}[mass.unit]
    item.mass_g = grams
    item.solute_mass_g = grams * item.purity
    if item.form.molar_mass:
        item.moles = grams * item.purity / item.form.molar_mass
    return None
