"""What the costs are held against: the script a chemist would write, the same with everything kept, a plain tokeniser."""

import re
from functools import cache

import pint
from periodictable import formula

from tests.bench.requests import Asked

_UNITS = pint.UnitRegistry()
_Q = _UNITS.Quantity
_TOKEN = re.compile(
    r"(?P<NUMBER>\d+(?:[.,]\d+)?(?:e[+-]?\d+)?)|(?P<UNIT>(?:mol/L|mL|ml|M|g|L)\b)|(?P<WORD>[^\W\d_][\w()'-]*)"
    r"|(?P<MARK>[.,;:?!])|(?P<OTHER>\S)"
)


def natural(line: Asked) -> float:
    """Grams by pint quantities with unit names and a formula read each time."""
    made = _Q(line.volume_mL, "mL") * _Q(line.mol_L, "mol/L") * _Q(formula(line.formula).mass, "g/mol")
    return float(made.to("g").magnitude)


def by_attributes(line: Asked) -> float:
    """The same written with attributes of the registry: ``250 * ureg.mL``."""
    volume, strength = line.volume_mL * _UNITS.mL, line.mol_L * _UNITS.mol / _UNITS.L
    return float((volume * strength * (formula(line.formula).mass * _UNITS.g / _UNITS.mol)).to("g").magnitude)


@cache
def _mass(text: str) -> float:
    return float(formula(text).mass)


_mL, _mol_L, _g_mol = _UNITS.Unit("mL"), _UNITS.Unit("mol/L"), _UNITS.Unit("g/mol")


def kept(line: Asked) -> float:
    """Unit objects and molar masses kept: as quick as pint gets."""
    made = _Q(line.volume_mL, _mL) * _Q(line.mol_L, _mol_L) * _Q(_mass(line.formula), _g_mol)
    return float(made.to("g").magnitude)


def tokens(text: str) -> list[tuple[str | None, str]]:
    """The text cut by one pattern: the least any reader must do."""
    return [(found.lastgroup, found.group()) for found in _TOKEN.finditer(text)]
