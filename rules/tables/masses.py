"""Molar masses from the standard atomic weights, with their uncertainty.

Source: CIAAW standard atomic weights 2021 (``elements.csv``). The quoted uncertainty of a weight is taken as the
half-width of a rectangle, so u = quoted / sqrt(3) (EURACHEM/CITAC QUAM:2012, example A1). Atoms of one element share
one error, so they add linearly; different elements add as the root sum of squares.
"""

from functools import lru_cache
from math import sqrt

from grammar.formula import composition
from rules.tables.load import rows


@lru_cache(maxsize=1)
def atomic_weights() -> dict[str, tuple[float, float]]:
    """Element symbol -> (standard atomic weight, its standard uncertainty), both in g/mol."""
    read = rows("elements", key=("symbol",), filled=("standard_atomic_weight", "uncertainty"),
                numeric={"standard_atomic_weight": (1.0, 300.0), "uncertainty": (0.0, 2.0)})
    return {row["symbol"]: (float(row["standard_atomic_weight"]), float(row["uncertainty"]) / sqrt(3)) for row in read}


def split_water(formula: str) -> tuple[str, str]:
    """("CuSO4", "5") of "CuSO4.5H2O", ("CaSO4", "0.5") of "CaSO4.0.5H2O"; ("NaCl", "0") when no water is written."""
    head, dot, tail = formula.rpartition(".")
    if not dot or not tail.endswith("H2O"):
        return formula, "0"
    count = tail[:-3]
    dry, point, whole = head.rpartition(".")
    if count.isdigit() and point and whole.isdigit():
        return dry, f"{float(f'{whole}.{count}'):g}"
    if count in ("x", "n"):
        return head, "x"
    return head, f"{float(count or 1):g}"


@lru_cache(maxsize=4096)
def molar_mass(formula: str) -> tuple[float, float]:
    """Molar mass and its standard uncertainty, both g/mol, of a formula such as ``CuSO4.5H2O`` or ``CaSO4.0.5H2O``.

    Raises ``ValueError`` for text that is not a formula, for variable water, or for an element without a standard
    atomic weight.
    """
    dry, water = split_water(formula)
    atoms: dict[str, float] = {**composition(dry)}
    if water != "0":
        atoms["H"] = atoms.get("H", 0) + 2 * float(water)
        atoms["O"] = atoms.get("O", 0) + float(water)
    weights = atomic_weights()
    total = variance = 0.0
    for element, count in atoms.items():
        if element not in weights:
            raise ValueError(f"{element} has no standard atomic weight")
        weight, u = weights[element]
        total += count * weight
        variance += (count * u) ** 2
    return total, sqrt(variance)
