"""``canonical``: one plain English sentence for a request. Reading that sentence gives the same request."""

from dataclasses import replace
from decimal import Decimal

from grammar.numbers import LONGEST_NUMBER
from grammar.request import Combine, Component, Container, Named, Portions, Prepare, Quantity, Series, Source
from grammar.units import UNITS, in_base

_HYDRATES = {
    "0": "anhydrous",
    "0.5": "hemihydrate",
    "1": "monohydrate",
    "1.5": "sesquihydrate",
    "2": "dihydrate",
    "2.5": "hemipentahydrate",
    "3": "trihydrate",
    "4": "tetrahydrate",
    "5": "pentahydrate",
    "6": "hexahydrate",
    "7": "heptahydrate",
    "8": "octahydrate",
    "9": "nonahydrate",
    "10": "decahydrate",
    "12": "dodecahydrate",
    "x": "variable hydrate",
}
_EACH = {
    "students": "per student",
    "pairs": "per pair",
    "groups": "per group",
    "benches": "per bench",
    "portions": "each",
}
_PURPOSES = {"accurate": "accurately", "approximate": "approximately", "standard": "as a standard solution"}


def canonical(request: Prepare | Combine | Series) -> str:
    """The request in one sentence, with the digits as typed and the units of ``grammar.units``."""
    if isinstance(request, Series):
        return _series(request)
    if isinstance(request, Combine):
        text = "mix " + " with ".join(_named(n) for n in request.solutes)
        return text[0].upper() + text[1:] + (f", {request.purpose_text}" if request.purpose_text else "")
    return _prepare(request)


def _listed(parts: list[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    return " and ".join([", ".join(parts[:-1]), parts[-1]] if len(parts) > 1 else parts)


def _series(request: Series) -> str:
    text = f"Make a series of {_listed([_quantity(q) for q in request.strengths])} {_named(request.component.solute)}"
    if request.each is not None:
        text += f", {_quantity(request.each)} each"
    if request.blank:
        text += ", with a blank"
    if request.solvent:
        text += f", in {request.solvent}"
    return text + (_source(request.component.source) if request.component.source else "")


def _prepare(request: Prepare) -> str:
    component = request.components[0]
    last = request.components[-1]
    inside = (
        len(request.components) == 2 and component.source is not None and last.source is None and bool(last.strength)
    )
    several = len(request.components) > 1 and not inside
    made = _listed([_component(c) for c in (request.components if several else request.components[:1])])
    if inside:
        made += f" in {_component(last)}"
    request = water_apart(request)
    whole = request.total is not None and not request.solvent_volume
    text = f"Make {_quantity(request.total)} of {made}" if request.total and whole else f"Make {made}"
    if request.solvent_volume and request.total is not None:
        text += f" in {_quantity(request.total)} of {request.solvent}"
    elif request.solvent:
        text += f" in {request.solvent}"
    if several:
        text += _stocks(request.components)
    elif component.source is not None:
        text += _source(component.source)
    if request.portions is not None:
        text += f"; {_portions(request.portions)}"
    if request.container is not None:
        text += f"; in a {_container(request.container)}"
    if request.bottle is not None:
        text += f"; {_container(request.bottle)}"
    if request.ph is not None:
        text += f"; pH {request.ph}"
    if request.temperature is not None:
        text += f"; at {_number(request.temperature.value)} °C"
    if request.kept_at is not None:
        text += f"; kept at {_number(request.kept_at.value)} °C"
    if component.reaction:
        text += f"; for {component.reaction}"
    if request.purpose:
        text += f"; {_PURPOSES[request.purpose]}"
    return text


def water_apart(request: Prepare) -> Prepare:
    """Masses in a whole mass ("10 g in 100 g") with the rest as the mass of the water; any other request as it is."""
    total = request.total
    if total is None or request.solvent_volume or UNITS[total.unit].dimension != "mass":
        return request
    if not all(c.mass for c in request.components):
        return request
    rest = in_base(total) - sum(in_base(c.mass) for c in request.components if c.mass is not None)
    if rest <= 0 or not (request.solvent or "water").endswith("water"):
        return request
    value = Decimal(f"{(rest / UNITS[total.unit].factor).normalize():f}")
    return replace(request, total=replace(total, value=value), solvent=request.solvent or "water", solvent_volume=True)


def _component(component: Component) -> str:
    words = _named(component.solute)
    if component.mass is not None and component.strength is not None:
        return f"{_strength(component)} {words} ({_quantity(component.mass)})"
    if component.mass is not None:
        words = f"{_quantity(component.mass)} of {words}"
    return f"{_strength(component)} {words}" if component.strength else words


def _strength(component: Component) -> str:
    assert component.strength is not None
    also = f" ({_quantity(component.also)})" if component.also else ""
    return f"{_quantity(component.strength)}{also}"


def _number(value: Decimal) -> str:
    """Digits as typed; only an exponent that would hide or add figures stays written as one."""
    exponent = value.as_tuple().exponent
    assert isinstance(exponent, int)
    plain = exponent <= 0 and len(f"{value:f}") <= LONGEST_NUMBER // 2
    return f"{value:f}" if plain else f"{value:e}"


def _quantity(quantity: Quantity) -> str:
    unit = {"X": "X", "g/100mL": "g/100 mL", "mg/100mL": "mg/100 mL"}.get(quantity.unit, quantity.unit)
    glue = "" if unit == "X" else " "
    return f"{_number(quantity.value)}{glue}{unit}" + (f" (as {quantity.of})" if quantity.of else "")


def _named(named: Named) -> str:
    words = [named.name] if named.name else []
    water = named.water
    if named.formula:
        if water is not None and water != "0":
            words.append(f"{named.formula}.{water}H2O")
        else:
            words.append(named.formula)
    elif water not in (None, "0") and water is not None:
        words.append(_HYDRATES.get(water) or f"{water}-hydrate")
    if water == "0":
        words.insert(0, "anhydrous")
    if named.cas:
        words.append(named.cas)
    if named.molar_mass is not None:
        words.append(f"(MW {named.molar_mass})")
    return " ".join(words)


def _source(source: Source) -> str:
    words = []
    if source.volume is not None:
        words += [_quantity(source.volume), "of"]
    if source.strength is not None and source.kind in ("stock", "solid"):
        words.append(_quantity(source.strength))
    if source.kind == "concentrated":
        words.append("concentrated")
    if source.named is not None:
        words.append(_named(source.named))
    if source.kind in ("stock", "solid"):
        words.append(source.kind)
    if source.strength is not None and source.kind == "concentrated":
        words.append(_quantity(source.strength))
    if words and words[-1] == "of":
        words.append("it")
    text = " from " + " ".join(words) if words else ""
    if source.strength is not None and source.kind is None:
        text += f"; bottle says {_quantity(source.strength)}"
    if source.density is not None:
        text += f"; density {_quantity(source.density)}"
    if source.purity is not None:
        text += f"; purity {_quantity(source.purity)}"
    return text


def _stocks(components: tuple[Component, ...]) -> str:
    """The stocks of several components: their strengths in the same order, or by name where only some have one."""
    strengths = [c.source.strength for c in components if c.source is not None and c.source.strength is not None]
    if not strengths:
        return ""
    if len(strengths) == len(components):
        return f" from {_listed([_quantity(q) for q in strengths])} stocks"
    named = [
        f"{_quantity(c.source.strength)} {_named(c.solute)} stock" for c in components if c.source and c.source.strength
    ]
    return " from " + _listed(named)


def _portions(portions: Portions) -> str:
    each = f"{_quantity(portions.each)} {_EACH.get(portions.who, 'each')}"
    text = f"{portions.count} {portions.who}, {each}"
    if portions.sets != 1:
        text += f", {portions.sets} classes"
    return text + (f", {_number(portions.spare_percent)} % spare" if portions.spare_percent else ", no spare")


def _container(container: Container) -> str:
    words = [_quantity(container.nominal)] if container.nominal else []
    if container.material:
        words.append(container.material)
    words.append(container.kind.replace("-", " "))
    return " ".join(words)
