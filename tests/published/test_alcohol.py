"""Ethanol in water by volume against the international alcohol tables.

Council Directive 76/766/EEC, Annex (the formula of OIML R 22), coefficients A1 to A12 at 20 degC: density in kg/m3 as a
polynomial in the mass fraction. Ours is a fit by Laliberte, J. Chem. Eng. Data 54 (2009) 1725: another set of measurements.
"""

import pytest

from rules.tables.density import solution_density
from service.bench import default_bench
from service.pipeline import answer

A = (
    9.982012300e2, -1.929769495e2, 3.891238958e2, -1.668103923e3, 1.352215441e4, -8.829278388e4, 3.062874042e5,
    -6.138381234e5, 7.470172998e5, -5.478461354e5, 2.234460334e5, -3.903285426e4,
)  # fmt: skip


def alcohol_density(mass_fraction: float) -> float:
    return sum(a * mass_fraction**k for k, a in enumerate(A)) / 1000


def fraction_of(volume_fraction: float) -> float:
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if middle * alcohol_density(middle) < volume_fraction * alcohol_density(1.0) else (low, middle)
    return low


def test_the_formula_is_typed_right() -> None:
    # Water 998.20 kg/m3 and absolute alcohol 789.24 kg/m3 at 20 degC.
    assert alcohol_density(0.0) == pytest.approx(0.99820, abs=5e-6)
    assert alcohol_density(1.0) == pytest.approx(0.78924, abs=5e-6)


@pytest.mark.parametrize("w", [0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0])
def test_density_within_four_parts_in_a_thousand(w: float) -> None:
    ours = solution_density("ethanol", w, 20.0)
    assert ours is not None
    # The two part by 0.39 % at 10 % w/w, by less elsewhere.
    assert ours.value_g_per_mL == pytest.approx(alcohol_density(w), rel=0.004)


@pytest.mark.parametrize(("text", "volume_fraction"), [
    ("100 mL of 50 % v/v ethanol", 0.50), ("500 mL of 70 % v/v ethanol from 96 % v/v ethanol", 0.70),
    ("1 L of 20 % v/v ethanol", 0.20),
])  # fmt: skip
def test_percent_by_volume_in_percent_by_mass(text: str, volume_fraction: float) -> None:
    solution = answer(text, default_bench()).document["plan"]["solution"]
    assert solution["mass_fraction"]["value"] == pytest.approx(100 * fraction_of(volume_fraction), rel=0.006)
