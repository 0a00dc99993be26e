"""Buffers by pH: which salts in which proportion, or how much acid or alkali sets the pH asked for.

Strength means the total of the buffer in all its forms. Amounts come from thermodynamic constants at the working
temperature with Davies activities; the meter has the last word, before the final volume.
"""

import math
from dataclasses import replace
from decimal import Decimal

from grammar.request import Component, Misread, Named, Prepare, Quantity
from rules.buffer import balance_at, nearest_step, weak
from rules.plan import DraftPlan, Open, Option
from rules.tables.names import key_of
from rules.tables.pka import Salt, System, all_systems, named_system, system_of
from rules.tables.substances import Form, Substance, substance
from service.planner.acidity import background_of
from service.planner.buffer_parts import foreign_part, parts
from service.planner.matching import form_name, forms_of, matches
from service.planner.recipes import named_form
from service.planner.strength import computable, strength_of

Settled = Prepare | Open | Misread
#: pH is worked out for this temperature where none was typed (the temperature the constants are tabulated for).
USUAL_degC = 25.0
#: A salt that would bring less than this share of the buffer is left out: acid or alkali sets the pH instead.
LEAST_SHARE = 0.005
#: Names that say a buffer is wanted but not which.
ANY_BUFFER = frozenset({"buffer", "buffersolution", "standardbuffer", "phbuffer"})
MOST_OFFERED = 6
TITRATE = "route:titrate"
TWO_SALTS = "route:two-salts"


def working_temperature(request: Prepare) -> float:
    """The temperature the pH is meant at, degC."""
    asked = request.temperature
    return float(asked.value) if asked is not None and asked.unit == "degC" else USUAL_degC


def settle_buffers(plan: DraftPlan, request: Prepare) -> Settled:
    """The request with every buffer named as such ("0.1 M acetate buffer pH 4.8") replaced by what it is made from."""
    for index, component in enumerate(request.components):
        named = component.solute
        if not named.name or named.formula or named.cas:
            continue
        if request.ph is None and "buffer" not in named.name.lower():
            continue
        base = _base_of_hydrochloride(component)
        if base is not None:
            return _ask_start(request, index, base)
        if key_of(named.name) in ANY_BUFFER and request.ph is not None:
            return _ask_which(request, index)
        found = None if matches(named) else named_system(named.name)
        if found is None or (component.source is not None and component.source.strength is not None):
            continue
        settled = _settle(plan, request, index, *found)
        if not isinstance(settled, Prepare):
            return settled
        request = settled
    return request


def _ask_which(request: Prepare, index: int) -> Open:
    """ "a pH 7 buffer": the systems whose pKa is within 1 of it, the commonest first."""
    assert request.ph is not None
    component, ph = request.components[index], float(request.ph)
    temperature = working_temperature(request)
    fitting = [s.key for s in all_systems() if abs(nearest_step(s, ph, temperature)[1] - ph) <= 1 and s.key != "edta"]
    options = tuple(
        Option(
            key,
            f"{key} buffer",
            _put(request, index, (replace(component, solute=Named(name=f"{key} buffer", as_typed=f"{key} buffer")),)),
        )
        for key in fitting[:MOST_OFFERED]
    )
    return Open(
        "which-buffer",
        f"Which buffer should hold pH {request.ph}?",
        options,
        remedy="Name it with its strength, for example '0.1 M phosphate buffer'.",
    )


def _base_of_hydrochloride(component: Component) -> str | None:
    """The free base where "tris-HCl pH 8" leaves open whether it or its hydrochloride is weighed; None where it does not."""
    words = component.solute.name.lower()
    if not words.endswith(("hcl", "-cl", " cl")) or (
        component.source is not None and component.source.strength is not None
    ):
        return None
    found = {m.substance.slug for m in matches(component.solute)}
    part = system_of(found.pop()) if len(found) == 1 else None
    if part is None or part[1].charge >= 0:
        return None
    return next((s.substance for s in part[0].salts if s.titrated and s.charge == 0), None)


def _ask_start(request: Prepare, index: int, base: str) -> Open:
    component = request.components[index]
    (salt,) = {m.substance.slug for m in matches(component.solute)}
    options = []
    for slug, way in ((base, "its pH set with hydrochloric acid"), (salt, "its pH set with sodium hydroxide")):
        kind = substance(slug)
        named = Named(name=kind.name, as_typed=kind.name)
        options.append(Option(slug, f"{kind.name}, {way}", _put(request, index, (replace(component, solute=named),))))
    text = f"Is the {component.solute.name} made from the base or from its hydrochloride? The masses differ."
    return Open("which-substance", text, tuple(options))


def _settle(plan: DraftPlan, request: Prepare, index: int, system: System, cation: str) -> Settled:
    component = request.components[index]
    name = component.solute.name
    if request.ph is None:
        return Open("ph", f"Which pH should the {name} have?", remedy="Add it, for example 'pH 7.2'.")
    foreign = foreign_part(component, system)
    if foreign is not None:
        return foreign
    strength = component.strength
    if strength is None:
        text = f"How strong should the {name} be, counting all its forms together?"
        return Open("strength", text, remedy="Add a strength, for example '0.1 M'.")
    molar = computable(strength_of(strength))
    if molar.family != "mol/L":
        return Open(
            "unit-unsupported",
            f"{strength.value} {strength.unit} of a buffer leaves open which of its forms is counted.",
            remedy="Give the total of the buffer in mol/L.",
        )
    if molar.value <= 0:
        return Misread(
            "strength-not-positive",
            f"A strength of {strength.value} {strength.unit} makes no solution.",
            "Give a strength above zero.",
        )
    plan.product_name = f"{name} pH {request.ph}"
    pair = _pair(plan, request, index, system, cation, molar.value)
    if isinstance(pair, Open):
        return pair
    if pair is None:
        return _one_substance(plan, request, index, system)
    made = _shares(pair, molar.value, _needed(request, index, system, molar.value))
    plan.computed_strengths = True
    said = " and ".join(
        f"{p.strength.value} mol/L {form_name(k, f)}" for p, (_, k, f) in zip(made, pair, strict=True) if p.strength
    )
    plan.assumptions.append(
        f"{strength.value} {strength.unit} is taken as the total of the buffer: {said}, worked out for pH {request.ph} "
        f"at {working_temperature(request):g} degC."
    )
    return _put(request, index, tuple(made))


def _put(request: Prepare, index: int, parts: tuple[Component, ...]) -> Prepare:
    return replace(request, components=(*request.components[:index], *parts, *request.components[index + 1 :]))


def _needed(request: Prepare, index: int, system: System, total: float) -> float:
    """Charge of the inert ions per litre that the pH asks for, with the other salts of the request as background."""
    temperature = working_temperature(request)
    others = [c for n, c in enumerate(request.components) if n != index]
    background = sum(background_of(c) for c in others)
    assert request.ph is not None
    return balance_at([weak(system, total, temperature)], float(request.ph), temperature, background=background).charge


Chosen = tuple[Salt, Substance, Form]


def _pair(
    plan: DraftPlan, request: Prepare, index: int, system: System, cation: str, total: float
) -> tuple[Chosen, Chosen] | Open | None:
    """The more alkaline and the more acid substance with their forms; None where acid or alkali sets the pH instead."""
    wanted = system.two_salts or TWO_SALTS in request.confirmed
    if not wanted or TITRATE in request.confirmed:
        return None
    charge = _needed(request, index, system, total) / total
    fitting = [s for s in system.salts if not cation or s.cation in ("", cation)]
    above = [s for s in fitting if s.charge_per_unit >= charge]
    below = [s for s in fitting if s.charge_per_unit < charge]
    if not above or not below:
        return None
    nearest_above = min(s.charge_per_unit for s in above)
    bases = [s for s in above if s.charge_per_unit == nearest_above]
    base = _choose(
        request,
        index,
        bases,
        f"Which {{}} is in the bottle? The {plan.product_name} is made from it and a more acid one.",
    )
    if isinstance(base, Open):
        return base
    kept = [s for s in below if s.cation in ("", base[0].cation) or not base[0].cation]
    if not kept:
        return None
    nearest_below = max(s.charge_per_unit for s in kept)
    acids = [s for s in kept if s.charge_per_unit == nearest_below]
    said = f"Which {{}} is in the bottle? It is the more acid part of the {plan.product_name}."
    acid = _choose(request, index, acids, said)
    if isinstance(acid, Open):
        return acid
    share = (charge - nearest_below) / (nearest_above - nearest_below)
    return (base, acid) if LEAST_SHARE < share < 1 - LEAST_SHARE else None


def _choose(request: Prepare, index: int, salts: list[Salt], text: str) -> Chosen | Open:
    """The salt and form confirmed, named as the source, or the only one sold; else a question over all that would do."""
    sold = [
        (s, substance(s.substance), f)
        for s in salts
        for f in (substance(s.substance).sold_forms or substance(s.substance).forms)
    ]
    sold = [row for row in sold if row[2].molar_mass]
    source = request.components[index].source
    if source is not None and source.named is not None:
        named = {f.key for part in parts(source.named) for _, f in forms_of(matches(part), part.water)}
        sold = [row for row in sold if row[2].key in named] or sold
    confirmed = [row for row in sold if f"form:{row[2].key}" in request.confirmed]
    sold = confirmed or sold
    usual = [row for row in sold if row[2].unstated]
    if len(sold) == 1 or (len({s.substance for s, _, _ in sold}) == 1 and len(usual) == 1):
        return (usual or sold)[0]
    options = tuple(
        Option(
            f.key.replace("/", "-"), form_name(k, f), replace(request, confirmed=(*request.confirmed, f"form:{f.key}"))
        )
        for _, k, f in sold
    )
    names = " or ".join(dict.fromkeys(k.name for _, k, _ in sold))
    return Open(
        "form", text.format(names), options, remedy="Read the formula on the bottle; the water in it changes the mass."
    )


def _shares(pair: tuple[Chosen, Chosen], total: float, charge: float) -> list[Component]:
    """Both parts with their mol/L: the two add up to the total, and their ions bring the charge."""
    (base, kind, form), (acid, acid_kind, acid_form) = pair
    units = total * (charge / total - acid.charge_per_unit) / (base.charge_per_unit - acid.charge_per_unit)
    return [
        Component(named_form(kind, form), _molar(units / base.units)),
        Component(named_form(acid_kind, acid_form), _molar((total - units) / acid.units)),
    ]


def _molar(value: float) -> Quantity:
    return Quantity(Decimal(f"{value:.5g}"), "mol/L")


def _one_substance(plan: DraftPlan, request: Prepare, index: int, system: System) -> Settled:
    """The buffer made from one substance whose pH is then set; every unit of the buffer comes from it."""
    component = request.components[index]
    starts = [s for s in system.salts if s.titrated] or list(system.salts)
    found = _choose(request, index, starts, "Which {} is in the bottle?")
    if isinstance(found, Open):
        return found
    salt, kind, form = found
    strength = component.strength
    assert strength is not None
    if salt.units != 1:
        strength = replace(strength, value=strength.value / salt.units)
        plan.computed_strengths = True
    source = component.source if component.source is None or component.source.named is None else None
    plan.assumptions.append(
        f"The {component.solute.name} is made from {form_name(kind, form)}, and its pH is set with acid or alkali."
    )
    return _put(request, index, (replace(component, solute=named_form(kind, form), strength=strength, source=source),))


def other_way(system: System, total: float, ph: float, temperature: float, two_salts: bool) -> str:
    """The route not taken, in one sentence with its amounts per litre; empty where there is none."""
    needed = balance_at([weak(system, total, temperature)], ph, temperature).charge
    if two_salts:
        start = next((s for s in system.salts if s.titrated), None)
        if start is None:
            return ""
        kind = substance(start.substance)
        extra = needed - start.charge_per_unit * total
        reagent = "sodium hydroxide" if extra > 0 else "hydrochloric acid"
        return (
            f"Or dissolve {total / start.units:.4g} mol of {kind.name} for each litre and set the pH with about "
            f"{abs(extra):.3g} mol of {reagent}."
        )
    low = [s for s in system.salts if s.charge_per_unit <= needed / total]
    high = [s for s in system.salts if s.charge_per_unit > needed / total]
    if not low or not high:
        return ""
    acid, base = max(low, key=lambda s: s.charge_per_unit), min(high, key=lambda s: s.charge_per_unit)
    units = (needed - acid.charge_per_unit * total) / (base.charge_per_unit - acid.charge_per_unit)
    return (
        f"Or from two substances: {units / base.units:.4g} mol of {substance(base.substance).name} and "
        f"{(total - units) / acid.units:.4g} mol of {substance(acid.substance).name} for each litre."
    )


def capacity_rank(system: System, total: float, ph: float, temperature: float) -> float:
    """How much a system holds the pH: total times the larger of its steps' buffer share (dimension mol/L)."""
    _, pka = nearest_step(system, ph, temperature)
    ratio = 10 ** (ph - pka) if abs(ph - pka) < 12 else math.inf
    return total * ratio / (1 + ratio) ** 2 if math.isfinite(ratio) else 0.0
