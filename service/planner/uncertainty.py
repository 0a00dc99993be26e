"""The uncertainty of the strength as made, by the law of propagation (JCGM 100:2008, 5.1.2) for a product of factors.

Conventions of EURACHEM/CITAC QUAM:2012, examples A1 and A2: a tolerance without a confidence level is triangular
(divide by the square root of six), an assay or molar mass given by limits rectangular (square root of three), the
laboratory within 4 degC of 20 degC, water's expansion 2.1e-4 per K.
"""

import math
from collections.abc import Iterable

from rules.plan import Budget, BudgetLine
from rules.tables.glassware import Glass
from rules.tables.lab import Balance

ROOT3, ROOT6 = math.sqrt(3), math.sqrt(6)
WATER_EXPANSION_PER_K = 2.1e-4
LAB_SWING_K = 4.0
COVERAGE = 2.0


def combine(sources: Iterable[tuple[str, float]]) -> Budget:
    """The budget of independent relative standard uncertainties: root of the sum of squares, shares of the variance."""
    kept = [(name, u) for name, u in sources if u > 0]
    variance = sum(u * u for _, u in kept)
    lines = tuple(BudgetLine(name, u, u * u / variance) for name, u in sorted(kept, key=lambda pair: -pair[1]))
    return Budget(math.sqrt(variance), COVERAGE, lines)


def weighing(balance: Balance, mass_g: float) -> float:
    """Relative standard uncertainty of a net weighing: repeatability, and linearity and reading of tare and gross."""
    reading = balance.readability_g / 2 / ROOT3
    linear = balance.linearity_g / ROOT3
    return math.sqrt(balance.repeatability_g**2 + 2 * linear**2 + 2 * reading**2) / mass_g


def vessel(glass: Glass, volume_mL: float | None = None) -> float:
    """Relative standard uncertainty of one filling or delivery from the vessel's tolerance."""
    return glass.tolerance_mL / ROOT6 / (volume_mL or glass.nominal_mL)


def meniscus(volume_mL: float) -> float:
    """Relative standard uncertainty of setting a meniscus: 0.02 mL at 100 mL (QUAM A1), growing with the square root."""
    return 0.0002 * math.sqrt(100.0 / volume_mL)


def temperature(swing_K: float = LAB_SWING_K) -> float:
    """Relative standard uncertainty of a volume from the laboratory's temperature swing about 20 degC, K either way."""
    return WATER_EXPANSION_PER_K * swing_K / ROOT3


def rectangular(half_width: float, value: float) -> float:
    """Relative standard uncertainty of a value known only to lie within ``half_width``."""
    return half_width / ROOT3 / value
