"""From one component of a request to an ingredient of the plan: identity, source, basis of the strength."""

from dataclasses import replace

from grammar.request import Component, Misread, Prepare, Quantity
from grammar.units import UNITS
from rules.plan import DraftPlan, Ingredient, Open, Option
from rules.tables.behaviour import behaviours
from rules.tables.mixtures import mixtures
from service.planner.basis import (
    ITSELF,
    as_salt,
    basis_formula,
    count_by_element,
    grams_of_basis,
    ion_standard,
    salts_of,
    units_of,
)
from service.planner.bottles import pours_from_stock, settle_kind
from service.planner.companions import edta_at_ph
from service.planner.matching import form_name, matches
from service.planner.mixtures import mixture_stock
from service.planner.questions import with_component
from service.planner.resolve import Resolved, resolve, settle_form
from service.planner.strength import strength_of

#: Words for "the thing in the bottle" that name no substance of their own.
GENERIC = frozenset(
    (
        *("the", "a", "one", "stuff", "bottle", "jar", "tub", "stock", "solution", "standard", "reagent", "form"),
        *("salt", "salts", "solid", "crystal", "crystals", "powder", "pellet", "pellets", "flakes", "granules"),
        *("hydrate", "hydrated", "absolute", "glacial", "pure", "concentrate", "acid", "base"),
        *("blue", "green", "white", "pink"),
    )
)


def ingredient(plan: DraftPlan, request: Prepare, index: int) -> Ingredient | Open | Misread:
    """Component ``index`` as an ingredient: its substance, form, kind of bottle and basis; or what stops it."""
    typed = _named_by_source(without_generic_source(request.components[index]))
    component = edta_at_ph(request, count_by_element(typed))
    stranger = _other_substance(component)
    if stranger is not None:
        # Two substances in one text: the rules on what must not meet look at both before the reading is turned down.
        sources = [component.solute, component.source.named] if component.source and component.source.named else []
        plan.combined.extend((m.substance.name, m.substance) for named in sources for m in matches(named)[:1])
        return stranger
    if _made_up_elsewhere(component):
        return Open(
            "reagent-strength",
            f"How strong is the {component.source.named.name}?" if component.source and component.source.named else "",
            remedy="Add its strength, for example 'from 0.9 % w/v saline', or name the solid.",
        )
    from_stock = pours_from_stock(component)
    if component is not request.components[index]:
        request = with_component(request, index, component)
    same_terms = from_stock and _same_terms(component)
    found = resolve(
        component,
        settle_form(request, index),
        form_matters=not from_stock or _weighed_in_the_stock(component),
        identity_matters=not same_terms,
    )
    if isinstance(found, Misread) and same_terms:
        found = ion_standard(component.solute) or mixture_stock(component.solute) or found
    if isinstance(found, Misread):
        found = _ion_from(request, index) or found
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
        and not _metal_in_acid(item)
    ):
        salts = _element_from(request, index, found.substance.name, found.substance.formula)
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
        stop = _element_basis(item, component.strength)
        if stop is not None:
            return stop
    return (_stock_basis(request, item, index) if from_stock else None) or item


def _metal_in_acid(item: Ingredient) -> bool:
    """Whether the metal itself was named as what it is made from, and the bench table says how acid dissolves it."""
    counted = item.component.strength is not None and item.component.strength.of
    way = behaviours(item.substance.slug, item.form.label).get("slow-to-dissolve")
    return bool(counted) and way is not None and "acid" in way.detail


def _named_by_source(component: Component) -> Component:
    """ "1x buffer from 10x TBE": what has only a general name is what the stock is."""
    source, named = component.source, component.solute
    general = named.name.lower() in GENERIC | {"buffer", "running buffer", "working solution"} and not named.formula
    if not general or source is None or source.named is None or source.strength is None:
        return component
    return replace(component, solute=source.named, source=replace(source, named=None))


def _ion_from(request: Prepare, index: int) -> Open | None:
    """ "50 mg/L phosphorus", "100 mg/L nitrate": an element or ion of which nothing is weighed: ask for the salt."""
    component = request.components[index]
    word, strength = component.solute.name or component.solute.formula or "", component.strength
    formula = basis_formula(word)
    by_mass = strength is not None and UNITS[strength.unit].dimension in ("mass per volume", "parts")
    if formula is None or strength is None or not by_mass or component.source is not None:
        return None
    of = basis_formula(strength.of) if strength.of else None
    return _element_from(request, index, word, of or formula, formula)


def _element_from(request: Prepare, index: int, name: str, counted: str, ion: str = "") -> Open | None:
    """What a strength counts and nobody weighs as such: ask which salt the solution is made from.

    ``counted`` is what the strength is counted by, ``ion`` what the salts must hold where that is more ("nitrate-N").
    """
    component = request.components[index]
    options = tuple(
        Option(
            form.key.replace("/", "-"),
            form_name(kind, form),
            with_component(request, index, as_salt(component, counted, kind, form)),
        )
        for kind, form in salts_of(ion or counted)
    )
    if not options:
        return None
    return Open(
        "element-source",
        f"From which salt is the {name} solution made?"
        + ("" if ion else " The metal itself does not dissolve in water."),
        options,
    )


def _element_basis(item: Ingredient, strength: Quantity) -> Misread | None:
    basis = _counted(item, strength.of or "")
    if basis is None:
        return _not_held(item, strength)
    item.basis_g_per_mol, item.basis_per_mole = basis
    return None


def _counted(item: Ingredient, of: str) -> tuple[float, float] | None:
    """Grams of an element or ion in one mole of the substance, and how many of it are in a formula unit."""
    grams = grams_of_basis(item, of)
    if grams is None:
        return None
    formula = basis_formula(of)
    return grams, units_of(formula, item.substance.formula) if formula else 1.0


def _not_held(item: Ingredient, strength: Quantity) -> Misread:
    return Misread(
        "basis-not-in-substance",
        f"{item.substance.name} holds no '{strength.of}' to count the strength by.",
        "State the strength as the substance itself, or as an element it contains.",
    )


def _stock_basis(request: Prepare, item: Ingredient, index: int) -> Open | Misread | None:
    """What the stock's strength counts: what it says, else what the strength to make counts.

    Where a salt is counted by its element and the stock says nothing, either may be meant.
    """
    component = item.component
    stock = component.source.strength if component.source else None
    typed = component.strength
    if stock is None or typed is None or not item.substance.formula:
        return None
    if stock.of:
        item.stock_basis = (0.0, 1.0) if stock.of == ITSELF else _counted(item, stock.of)
        return None if item.stock_basis else _not_held(item, stock)
    if not typed.of:
        return None
    own = basis_formula(component.solute.name or component.solute.formula or "")
    if (own and own == basis_formula(typed.of)) or UNITS[stock.unit].dimension == "fold":
        return None
    grams = grams_of_basis(item, typed.of)
    if UNITS[stock.unit].dimension == "molar" and grams and item.basis_per_mole == 1:
        return None
    if UNITS[stock.unit].dimension not in ("molar", "mass per volume", "parts", "percent"):
        return None
    assert component.source is not None
    itself = item.substance.name.removesuffix(" standard")
    options = tuple(
        Option(
            f"stock-as-{basis}",
            f"{stock.value} {stock.unit} counted as {said}",
            with_component(
                request, index, replace(component, source=replace(component.source, strength=replace(stock, of=of)))
            ),
        )
        for basis, said, of in (("basis", typed.of, typed.of), ("salt", itself, ITSELF))
    )
    return Open(
        "stock-basis",
        f"Does the {stock.value} {stock.unit} of the stock count {typed.of}, or {itself} itself?",
        options,
        remedy=f"Say what it counts, for example 'from {stock.value} {stock.unit} (as {typed.of}) stock'.",
    )


def _weighed_in_the_stock(component: Component) -> bool:
    """Whether the form matters though a stock is poured: one of the two strengths is a mass of the salt, the other is not."""
    source, typed = component.source, component.strength
    if source is None or source.strength is None or typed is None:
        return False
    stock = source.strength
    families = [strength_of(q).family for q in (stock, typed)]
    if {"%", "times"} & set(families):
        return False
    by_mass = [family in ("g/L", "ppm", "w/w") for family in families]
    of_stock = by_mass[0] and (stock.of == ITSELF or not (stock.of or typed.of))
    of_made = by_mass[1] and not typed.of
    return of_stock != of_made


def _made_up_elsewhere(component: Component) -> bool:
    """Whether the source is a solution by its name ("from saline") whose strength was not said: no solid is weighed for it."""
    source = component.source
    if source is None or source.named is None or source.strength is not None or source.kind == "solid":
        return False
    return bool(source.named.name) and bool(mixtures(source.named.name))


def _same_terms(component: Component) -> bool:
    source, typed = component.source, component.strength
    if source is None or source.strength is None or typed is None:
        return False
    return strength_of(source.strength).family == strength_of(typed).family


def without_generic_source(component: Component) -> Component:
    """ "from the anhydrous salt": a source named only by general words says its form, not another substance."""
    source = component.source
    if source is None or source.named is None:
        return component
    named = source.named
    words = named.name.lower().split()
    if named.formula or named.cas or not words or matches(named) or not all(w.strip("(),.") in GENERIC for w in words):
        return component
    kept = replace(named, name="") if named.water is not None else None
    return replace(component, source=replace(source, named=kept))


def _other_substance(component: Component) -> Misread | None:
    """A source that holds something else than the solute is never quietly diluted."""
    named = component.source.named if component.source else None
    if named is None or not (named.name or named.formula or named.cas):
        return None
    held = {m.substance.slug for m in matches(named)}
    wanted = {m.substance.slug for m in matches(component.solute)}
    if not wanted or held & wanted:
        return None
    there = named.as_typed or named.name or named.formula or ""
    solute = component.solute.as_typed or component.solute.name
    return Misread(
        "source-is-another-substance",
        f"'{there}' is not {solute}, so {solute} cannot be made up from it here."
        if held
        else f"'{there}' is not a substance this lab holds data on.",
        f"Name a source that holds {solute}, or leave the source out.",
    )
