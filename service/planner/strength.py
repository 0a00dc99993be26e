"""Strengths: from the unit that was typed to the families the planner computes with.

Families: ``mol/L``, ``g/L``, ``w/w`` (fraction), ``v/v`` (fraction), ``mol/kg``, ``eq/L``, ``times``, ``volumes``; and the
ambiguous ones ``m``, ``%`` and ``ppm``, of which the first two are never computed with, only asked about.
"""

from dataclasses import dataclass, replace
from decimal import Decimal

from grammar.request import Quantity
from grammar.units import UNITS

_DIMENSION = {
    "molar": "mol/L",
    "mass per volume": "g/L",
    "molal": "mol/kg",
    "parts": "ppm",
    "molar or molal": "m",
    "normal": "eq/L",
    "fold": "times",
    "peroxide volumes": "volumes",
}
_PERCENT = {"% w/v": ("g/L", 10.0), "% w/w": ("w/w", 0.01), "% v/v": ("v/v", 0.01), "%": ("%", 0.01)}
_FAMILY: dict[str, tuple[str, float]] = _PERCENT | {
    key: (_DIMENSION[unit.dimension], float(unit.factor)) for key, unit in UNITS.items() if unit.dimension in _DIMENSION
}

#: Litres of gas from one mole at 0 degC and 101.325 kPa (CODATA molar volume of an ideal gas), L/mol.
MOLAR_VOLUME_STP = 22.413_969_54


@dataclass(frozen=True, slots=True)
class Strength:
    """A strength in its family's unit: ``value`` in mol/L, g/L, a fraction, mol/kg or equivalents/L."""

    family: str
    value: float


def strength_of(quantity: Quantity) -> Strength:
    """The family and value of a typed strength. Raises ``KeyError`` for a unit that is not a strength."""
    family, factor = _FAMILY[quantity.unit]
    return Strength(family, float(quantity.value) * factor)


def is_strength(quantity: Quantity) -> bool:
    """Whether the unit is one of a strength."""
    return quantity.unit in _FAMILY


def with_unit(quantity: Quantity, unit: str, divide_by: int = 1) -> Quantity:
    """The same number in another unit, for the options of a question; ``divide_by`` turns normality into molarity."""
    value = quantity.value if divide_by == 1 else quantity.value / Decimal(divide_by)
    return replace(quantity, value=value, unit=unit)


def peroxide_molarity(volumes: float) -> float:
    """mol/L of hydrogen peroxide of ``volumes`` strength: 2 H2O2 gives one O2, gas at 0 degC and 101.325 kPa."""
    return 2 * volumes / MOLAR_VOLUME_STP


def computable(strength: Strength) -> Strength:
    """ppm as mass in volume and peroxide volumes as mol/L; every other family unchanged."""
    if strength.family == "ppm":
        return Strength("g/L", strength.value * 1e-3)
    if strength.family == "volumes":
        return Strength("mol/L", peroxide_molarity(strength.value))
    return strength
