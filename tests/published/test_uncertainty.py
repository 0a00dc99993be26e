"""The uncertainty conventions against the worked examples of the Eurachem/CITAC guide.

EURACHEM/CITAC Guide CG 4, Quantifying Uncertainty in Analytical Measurement, 3rd edition 2012 (QUAM):
example A1, Preparation of a calibration standard, Table A1.1; example A2, Standardising a sodium hydroxide solution,
Table A2.1. Values read at http://www.measurementuncertainty.org/guide/app_a_example1.html and .../app_a_example2.html.
"""

import math

import pytest

from rules.tables.glassware import Glass
from rules.tables.load import cite
from rules.tables.masses import molar_mass
from service.planner.uncertainty import combine, meniscus, rectangular, temperature, vessel

FLASK = Glass(kind="volumetric-flask", standard="QUAM A1", glass_class="A", nominal_mL=100.0, tolerance_mL=0.1,
              subdivision_mL=None, cite=cite("quam-2012", "example A1"))


def test_a1_cadmium_calibration_standard() -> None:
    """m = 100.28 mg (u 0.05 mg), P = 0.9999 (0.0001 as a rectangle), 100 mL flask of 0.1 mL: 1002.70 mg/L, u 0.835."""
    strength = 1000.0 * 100.28 * 0.9999 / 100.0
    budget = combine([("mass", 0.05 / 100.28), ("purity", rectangular(0.0001, 0.9999)),
                      ("flask", vessel(FLASK)), ("filling", meniscus(100.0)), ("temperature", temperature())])
    assert strength == pytest.approx(1002.70, abs=0.005)
    assert strength * budget.u_rel == pytest.approx(0.835, abs=0.005)


def test_a1_flask_alone() -> None:
    """Table A1.1: u(V) of the 100 mL flask is 0.07 mL (0.0665 before rounding: 0.04, 0.02 and 0.05 mL combined)."""
    u = 100.0 * math.hypot(vessel(FLASK), meniscus(100.0), temperature())
    assert vessel(FLASK) * 100 == pytest.approx(0.04, abs=0.001)
    assert meniscus(100.0) * 100 == pytest.approx(0.02, abs=0.0005)
    assert temperature() * 100 == pytest.approx(0.05, abs=0.002)
    assert u == pytest.approx(0.0665, abs=0.001)


def test_a2_sodium_hydroxide_against_phthalate() -> None:
    """0.3888 g (u 0.13 mg), purity 1 (0.0005 as a rectangle), 18.64 mL (u 0.013), repeatability 0.0005:
    0.10214 mol/L with u 0.00010."""
    mass_of_one, u_mass_of_one = molar_mass("C8H5KO4")
    strength = 1000.0 * 0.3888 / (mass_of_one * 18.64)
    budget = combine([("repeatability", 0.0005), ("mass", 0.00013 / 0.3888), ("purity", rectangular(0.0005, 1.0)),
                      ("molar mass", u_mass_of_one / mass_of_one), ("volume", 0.013 / 18.64)])
    assert strength == pytest.approx(0.10214, abs=0.000006)
    assert strength * budget.u_rel == pytest.approx(0.00010, abs=0.000005)
    assert max(budget.lines, key=lambda line: line.share).source == "volume"


def test_a2_molar_mass_of_phthalate() -> None:
    """Table A2.1 gives 204.2212 g/mol with the atomic weights of its day; the 2021 ones may move it by 0.01."""
    assert molar_mass("C8H5KO4")[0] == pytest.approx(204.2212, abs=0.01)
