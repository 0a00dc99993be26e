"""Ions of ordinary salts, for the ionic strength a buffer is made in."""

from functools import lru_cache

from grammar.formula import composition
from grammar.request import Component
from rules.tables.pka import system_of
from service.planner.matching import matches
from service.planner.strength import computable, strength_of

_CATIONS = {
    "Na": 1,
    "K": 1,
    "Li": 1,
    "Rb": 1,
    "Cs": 1,
    "Mg": 2,
    "Ca": 2,
    "Sr": 2,
    "Ba": 2,
    "Mn": 2,
    "Zn": 2,
    "Co": 2,
    "Ni": 2,
    "Cu": 2,
}
#: Anions of salts that neither take nor give protons near neutral: what is left of the formula, and its charge.
_ANIONS = {
    frozenset({("Cl", 1.0)}): 1, frozenset({("Br", 1.0)}): 1, frozenset({("I", 1.0)}): 1,
    frozenset({("N", 1.0), ("O", 3.0)}): 1, frozenset({("Cl", 1.0), ("O", 4.0)}): 1, frozenset({("S", 1.0), ("O", 4.0)}): 2,
}  # fmt: skip


@lru_cache(maxsize=512)
def ionic_strength_of(formula: str) -> float | None:
    """Ionic strength of one mole per litre of a salt: 1 for NaCl, 3 for MgCl2, 4 for MgSO4; None where not read."""
    try:
        held = composition(formula)
    except ValueError:
        return None
    metals = [m for m in held if m in _CATIONS]
    if len(metals) != 1:
        return None
    metal, count = metals[0], held[metals[0]]
    rest = {symbol: n for symbol, n in held.items() if symbol != metal}
    for anion, charge in _ANIONS.items():
        units = count * _CATIONS[metal] / charge
        if rest == {symbol: n * units for symbol, n in anion}:
            return (count * _CATIONS[metal] ** 2 + units * charge**2) / 2
    return None


def background_of(component: Component) -> float:
    """Ionic strength a component brings by itself, where it is a plain salt with a molar strength; else 0."""
    if component.strength is None:
        return 0.0
    strength = computable(strength_of(component.strength))
    found = matches(component.solute)
    if strength.family != "mol/L" or len({m.substance.slug for m in found}) != 1 or system_of(found[0].substance.slug):
        return 0.0
    return strength.value * (ionic_strength_of(found[0].substance.formula) or 0.0)
