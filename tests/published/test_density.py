"""Density of solutions against the same equations as programmed in ``thermo``, by another hand, and against labels.

M. Laliberte, W. E. Cooper, J. Chem. Eng. Data 49 (2004) 1141; M. Laliberte, J. Chem. Eng. Data 54 (2009) 1725.
OpenStax Chemistry 2e prints two densities: 10.0 % NaOH 1.109 g/mL (section 3.4 exercise), 40.0 % H2SO4 1.3057 g/mL.
"""

import csv

import pytest
from thermo.electrochem import Laliberte_density

from rules.tables.density import solution_density
from rules.tables.load import TABLES
from rules.tables.substances import substance

with (TABLES / "density_coefficients.csv").open(encoding="utf-8", newline="") as handle:
    ROWS = list(csv.DictReader(handle))


#: Where the other table is keyed unlike ours: the gas, another form, and a key printed with a leading blank.
THEIR_KEY = {"ammonia": "7664-41-7", "manganese-ii-sulfate": "449146-65-0", "disodium-hydrogen-phosphate": " 7558-79-4"}


def _cas(slug: str) -> str:
    if slug in THEIR_KEY:
        return THEIR_KEY[slug]
    forms = substance(slug).forms
    return next((f.cas for f in forms if f.water == "0" and f.cas), forms[0].cas)


@pytest.mark.parametrize("row", ROWS, ids=[r["substance"] for r in ROWS])
def test_each_fit_gives_the_density_of_thermo(row: dict[str, str]) -> None:
    slug, most = row["substance"], float(row["mass_fraction_max"])
    t = min(max(20.0, float(row["temperature_low_degC"])), float(row["temperature_high_degC"]))
    for w in (0.1 * most, 0.5 * most, 0.95 * most):
        ours = solution_density(slug, w, t)
        assert ours is not None
        theirs = Laliberte_density(t + 273.15, [w], [_cas(slug)]) / 1000.0
        assert ours.value_g_per_mL == pytest.approx(theirs, rel=3e-5), f"{slug} at {w:.3f}, {t:g} degC"


@pytest.mark.parametrize(("slug", "w", "printed"), [("sodium-hydroxide", 0.100, 1.109), ("sulfuric-acid", 0.400, 1.3057)])
def test_printed_densities(slug: str, w: float, printed: float) -> None:
    ours = solution_density(slug, w, 20.0)
    assert ours is not None
    assert ours.value_g_per_mL == pytest.approx(printed, rel=0.004)
