"""What a question or a check asks for, once its pieces are known: the topic, or None where something is missing."""

import re
from collections.abc import Callable

from grammar.asking_facts import FACTS
from grammar.asking_words import ASKED
from grammar.request import Ask, Check, Prepare, Quantity
from grammar.sentence import water_apart
from grammar.units import STRENGTHS, UNITS, read_unit

#: The quantity behind a mark.
Quantities = Callable[[str], Quantity | None]
_WORD = re.compile(r"[^\W_]+")
#: Words beside an amount that name no substance of their own.
_GENERAL = frozenset(
    [
        "the",
        "a",
        "an",
        "of",
        "it",
        "solid",
        "salt",
        "salts",
        "solute",
        "substance",
        "compound",
        "solution",
        "soln",
        "stock",
        "acid",
        "base",
        "reagent",
        "is",
        "by",
        "mass",
    ]
)
#: A unit with no number, or one of the ambiguous ones, is nothing a strength can be given in.
_NO_UNIT = frozenset(("m", "%", "X", "vol", "mEq/L", "degC", "h", "min", "day", "week"))


def another(found: dict[str, str]) -> bool:
    """Whether a name said beside an amount is not the one in the request ("moles of Cl in 0.1 M CaCl2")."""
    said = {word for word in _WORD.findall(found.get("name", "").lower()) if word not in _GENERAL}
    request = set(_WORD.findall(" ".join(found.get(role, "") for role in ("what", "rest", "more")).lower()))
    return not said <= request


def check(found: dict[str, str], request: Prepare, quantity: Quantities) -> Check | None:
    claimed = quantity(found["claimed"])
    request = water_apart(request)
    component = request.components[0]
    kind = UNITS[claimed.unit].dimension if claimed is not None and claimed.unit in UNITS else ""
    asks_amount = component.strength is not None and component.mass is None and _sized(request)
    gives_strength = (component.mass is not None or dilution(request)) and request.total is not None
    converts = component.strength is not None and request.total is None
    if claimed is None or not (asks_amount if kind in ("mass", "volume", "amount") else gives_strength or converts):
        return None
    if converts and component.strength is not None and UNITS[component.strength.unit].dimension == kind:
        return None
    return Check(request, claimed)


def _sized(request: Prepare) -> bool:
    return request.total is not None or request.portions is not None or request.container is not None


def dilution(request: Prepare) -> bool:
    source = request.components[0].source
    return request.components[0].strength is None and source is not None and source.volume is not None


def ask(topic: str, found: dict[str, str], request: Prepare, quantity: Quantities) -> Ask | None:
    request = water_apart(request)
    component = request.components[0]
    available = quantity(found["available"]) if "available" in found else None
    to = _unit(found)
    of = found.get("of")
    if to is None:
        return None
    if topic == "strength":
        return _strength(request, to, of)
    if topic in FACTS:
        fits = component.mass is None and request.portions is None and request.total is None
        return Ask(topic, request, available) if fits else None
    if topic == "mass-held":
        return Ask(topic, request) if component.strength is not None and request.total is not None else None
    if topic == "mass-of":
        bare = component.strength is None and component.mass is None and request.total is None
        molar = available is not None and available.value == 1 and available.unit == "mol"  # that is the molar mass
        return Ask(topic, request, available) if bare and not molar else None
    if topic == "molar-mass":
        one = quantity(found["one"]) if "one" in found else None
        if (one is not None and (one.value != 1 or one.unit != "mol")) or (
            component.strength
            or component.mass
            or request.total
            or not (component.solute.name or component.solute.formula)
        ):
            return None
        return Ask("molar-mass", request)
    if topic == "moles":
        held = component.mass is not None or (component.strength is not None and request.total is not None)
        single = component.mass is None and component.strength is None and request.total is not None
        unit = "mmol" if found["moles"].lower() in ("mmol", "millimole", "millimoles") else "mol"
        return (
            Ask("moles", request, None, unit)
            if held or (single and request.total and request.total.unit in _MASSES)
            else None
        )
    if (
        component.strength is None
        or request.total is not None
        or request.portions is not None
        or component.mass is not None
    ):
        return None
    return Ask(topic, request, available)


_MASSES = frozenset(key for key, unit in UNITS.items() if unit.dimension == "mass")


def _unit(found: dict[str, str]) -> str | None:
    """The unit asked for; "" where none was named, None where what was named is no unit of a strength."""
    if "unit" in found:
        key = read_unit(found["unit"])
        known = key is not None and key not in _NO_UNIT and key in UNITS and UNITS[key].dimension in STRENGTHS
        return key if known else "%" if key == "%" else None
    return ASKED.get(found.get("asked", "").lower(), "")


def _strength(request: Prepare, to: str, of: str | None) -> Ask | None:
    """Which strength is asked for: of a mass in a volume, of a dilution, of a bottle, or the same one in other terms."""
    component = request.components[0]
    source = component.source
    if dilution(request) and request.total is not None:
        return Ask("strength-diluted", request, None, to or None, of)
    if component.mass is not None and request.total is not None and component.strength is None:
        return Ask("strength-made", request, None, to or "mol/L", of)
    if component.mass is not None or request.portions is not None:
        return None
    if component.strength is None:
        bottle = source is not None and source.kind == "concentrated" and request.total is None
        return Ask("strength-of-reagent", request, None, to or "mol/L", of) if bottle else None
    percent = component.strength.unit in ("%", "% w/w") and (source is not None or component.strength.value > 20)
    if not to and (not percent or request.total is not None):
        return None
    if to == component.strength.unit and of is None:
        return None
    return Ask("strength-of-reagent" if percent else "convert", request, None, to or "mol/L", of)
