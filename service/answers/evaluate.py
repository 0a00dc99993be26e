"""A question to its value: which substance and form, what was given, and the sum for its topic."""

from grammar.asking_facts import FACTS
from grammar.formula import read_formula
from grammar.request import Ask, Misread
from grammar.units import STRENGTHS, UNITS
from rules.plan import Amount, Ingredient
from rules.tables.load import cite
from rules.tables.masses import molar_mass
from service.answers import concentrations, volumes
from service.answers.about import about
from service.answers.settled import form_does_not_matter, settle
from service.answers.strengths import Known, unnamed
from service.answers.terms import Answer, Consider, Refused, Result, base, figures, in_unit, typed
from service.bench import Bench
from service.planner.figures import show
from service.planner.matching import form_name, matches

WEIGHTS = cite("ciaaw-2021", "standard atomic weights")


def evaluate(ask: Ask, bench: Bench, consider: Consider) -> Result:
    """The value asked for, or the question, misreading or refusal that stands in its way."""
    fault = _incomplete(ask)
    if fault is not None:
        return fault
    if ask.topic in _VOLUMES:
        return volumes.evaluate(ask, bench, consider)
    return _TOPICS[ask.topic](ask, bench, consider)


# -- molar mass -------------------------------------------------------------------------------------------------------


def _molar_mass(ask: Ask, bench: Bench, _consider: Consider) -> Result:
    named = ask.request.components[0].solute
    if named.formula and not (named.name and not matches(named)):
        formula = named.formula + (f".{named.water}H2O" if named.water not in (None, "0") else "")
        if read_formula(formula) is None:
            return Misread("formula-unclear", f"{formula} is no formula.", "Check its brackets and capitals.")
        try:
            return _mass_of(formula, formula)
        except ValueError as fault:
            return Refused(
                Misread("no-molar-mass", f"{formula}: {fault}.", "Give the formula with a known water content.")
            )
    settled = settle(ask.request, bench)
    if not isinstance(settled, tuple):
        return settled
    plan, item = settled
    if not item.form.molar_mass:
        return Refused(
            Misread(
                "no-molar-mass",
                f"{item.substance.name} has no single formula here, so it has no molar mass.",
                "Take it from the certificate of the bottle.",
            )
        )
    answer = _mass_of(item.form.formula, f"{form_name(item.substance, item.form)}, {item.form.formula}")
    answer.assumptions = plan.assumptions
    return answer


def _mass_of(formula: str, said: str) -> Answer:
    value, uncertainty = molar_mass(formula)
    shown = f"{value:.3f} g/mol"
    return Answer(
        Amount(value, "g/mol", shown),
        f"The molar mass of {said} is {shown} (standard uncertainty {uncertainty:.2g} g/mol).",
        [f"sum of the standard atomic weights of {formula} = {shown}"],
        cites=[WEIGHTS],
    )


# -- moles ------------------------------------------------------------------------------------------------------------


def _moles(ask: Ask, bench: Bench, _consider: Consider) -> Result:
    request, component = ask.request, ask.request.components[0]
    to = ask.to or "mol"
    weighed = component.mass or (request.total if component.strength is None else None)
    if weighed is not None:
        if unnamed(component):
            return Misread("substance-missing", "No substance was named.", "Name the substance that was weighed.")
        settled = settle(request, bench)
        if not isinstance(settled, tuple):
            return settled
        plan, item = settled
        if not item.form.molar_mass:
            return Refused(
                Misread("no-molar-mass", f"{item.substance.name} has no molar mass here.", "Give a formula.")
            )
        grams = base(weighed) * item.purity
        moles = grams / item.form.molar_mass
        purity = f" x {item.purity:g}" if item.purity != 1 else ""
        count = figures(weighed)
        line = f"n = m / M = {base(weighed):g} g{purity} / {item.form.molar_mass:.3f} g/mol = {moles:.5g} mol"
        shown = in_unit(moles, to, count)
        text = f"{typed(weighed)} of {form_name(item.substance, item.form)} is {shown}."
        return Answer(Amount(moles, "mol", shown), text, [line], plan.assumptions, [WEIGHTS, item.form.cite])
    assert component.strength is not None and request.total is not None
    count = figures(component.strength, request.total)
    litres = base(request.total) / 1000
    assumed: list[str] = []
    if unnamed(component):
        if component.strength.unit not in _MOLAR:
            return Misread("substance-missing", "No substance was named.", "Name it, or give the strength in mol/L.")
        mol_L, name = base(component.strength), "it"
    else:
        settled = settle(form_does_not_matter(request), bench)
        if not isinstance(settled, tuple):
            return settled
        plan, item = settled
        found = concentrations.given(ask, plan, item, component.strength)
        if not isinstance(found, Known):
            return found
        if found.mol_L is None:
            return Refused(Misread("no-molar-mass", f"{item.substance.name} has no molarity here.", "Give a formula."))
        mol_L, name, assumed = found.mol_L, item.substance.name, [*plan.assumptions, *found.said]
    moles = mol_L * litres
    shown = in_unit(moles, to, count)
    line = f"n = c V = {mol_L:.5g} mol/L x {litres:g} L = {moles:.5g} mol"
    text = f"{typed(request.total)} of {typed(component.strength)} holds {shown} of {name}."
    return Answer(Amount(moles, "mol", shown), text.replace(" of it.", "."), [line], assumed)


# -- grams of moles ---------------------------------------------------------------------------------------------------


def _mass_of_moles(ask: Ask, bench: Bench, _consider: Consider) -> Result:
    settled = settle(ask.request, bench)
    if not isinstance(settled, tuple):
        return settled
    plan, item = settled
    assert ask.available is not None
    return _grams(base(ask.available), figures(ask.available), typed(ask.available), item, plan.assumptions)


def _mass_held(ask: Ask, bench: Bench, _consider: Consider) -> Result:
    """Grams of the substance itself, without water of crystallisation: that is what is in the solution."""
    strength, total = ask.request.components[0].strength, ask.request.total
    assert strength is not None and total is not None
    settled = settle(form_does_not_matter(ask.request), bench)
    if not isinstance(settled, tuple):
        return settled
    plan, item = settled
    found = concentrations.given(ask, plan, item, strength)
    if not isinstance(found, Known):
        return found
    mass = item.substance.molar_mass
    grams_L = found.g_L if found.g_L is not None else found.mol_L * mass if found.mol_L is not None and mass else None
    if grams_L is None:
        return Refused(Misread("no-molar-mass", f"{item.substance.name} has no molar mass here.", "Give a formula."))
    grams = grams_L * base(total) / 1000
    shown = show(grams, "g", figures(strength, total))
    line = f"{grams_L:.5g} g/L x {base(total) / 1000:g} L = {grams:.5g} g"
    dry = " without water of crystallisation" if any(f.water not in ("0", "") for f in item.substance.forms) else ""
    text = f"{typed(total)} of {typed(strength)} holds {shown} of {item.substance.name}{dry}."
    return Answer(Amount(grams, "g", shown), text, [*found.working, line], [*plan.assumptions, *found.said], found.cites)


def _grams(moles: float, count: int, said: str, item: Ingredient, assumed: list[str]) -> Result:
    mass = item.form.molar_mass
    if not mass:
        return Refused(Misread("no-molar-mass", f"{item.substance.name} has no molar mass here.", "Give a formula."))
    grams = moles * mass
    shown = show(grams, "g", count)
    line = f"m = n M = {moles:g} mol x {mass:.3f} g/mol = {grams:.5g} g"
    text = f"{said} of {form_name(item.substance, item.form)} is {shown}."
    return Answer(Amount(grams, "g", shown), text, [line], assumed, [WEIGHTS, item.form.cite])


def _incomplete(ask: Ask) -> Misread | None:
    """What a typed question lacks for its topic; sentences never lack it."""
    if ask.topic not in (*_TOPICS, *_VOLUMES):
        return Misread(
            "topic-unknown",
            f"'{ask.topic}' is nothing that is asked here.",
            f"Topics: {', '.join((*_TOPICS, *_VOLUMES))}.",
        )
    if len(ask.request.components) != 1:
        return Misread("one-solute-only", "A value is asked of one solute at a time.", "Ask for one at a time.")
    kind = UNITS[ask.to].dimension if ask.to in UNITS else ""
    if (
        ask.to is not None
        and ask.to != "%"
        and not (kind == "amount" if ask.topic == "moles" else kind in STRENGTHS and ask.to not in _UNSURE)
    ):
        return Misread(
            "unit-unknown", f"'{ask.to}' is no unit for that.", "Ask for mol/L, g/L, % w/v, % w/w, mol/kg, N or ppm."
        )
    component, source = ask.request.components[0], ask.request.components[0].source
    needed = {
        "moles": component.mass or ask.request.total,
        "convert": component.strength,
        "mass-of": ask.available,
        "mass-held": component.strength and ask.request.total,
        "strength-of-reagent": component.strength or (source and source.kind == "concentrated"),
        "strength-made": component.mass and ask.request.total,
        "strength-diluted": source and source.volume and ask.request.total,
        **dict.fromkeys(_VOLUMES, component.strength),
    }
    if not needed.get(ask.topic, True):
        return Misread(
            "question-incomplete",
            "An amount is missing for what is asked.",
            "Give the mass, volume or strength it starts from.",
        )
    return None


_UNSURE = ("m", "X", "vol", "mEq/L")
_VOLUMES = ("volume-makeable", "volume-containing", "water-to-add")
_MOLAR = ("mol/L", "mmol/L", "umol/L", "nmol/L")
_TOPICS = {
    "molar-mass": _molar_mass,
    "moles": _moles,
    "mass-of": _mass_of_moles,
    "mass-held": _mass_held,
    "convert": concentrations.convert,
    "strength-of-reagent": concentrations.convert,
    "strength-made": concentrations.made,
    "strength-diluted": concentrations.diluted,
    **dict.fromkeys(FACTS, about),
}
