"""The standardisation of sodium hydroxide of the Eurachem/CITAC guide, through the code of the bench record.

EURACHEM/CITAC Guide CG 4 (QUAM), 3rd edition 2012, example A2 and Table A2.1: 0.3888 g of potassium hydrogen phthalate,
purity 1 +/- 0.0005, titre 18.64 mL, repeatability 0.0005; balance linearity 0.15 mg, burette 0.03 mL, laboratory within
3 degC: 0.10214 mol/L, standard uncertainty 0.00010 mol/L. Read at
http://www.measurementuncertainty.org/guide/app_a_example2.html.
"""

import pytest

from rules.tables.glassware import Glass
from rules.tables.lab import Balance
from rules.tables.load import cite
from rules.tables.standards import standardisations
from service.planner.uncertainty import combine
from service.standards.standard import find_standard
from service.standards.titration import Run, Setting, titrate

BALANCE = Balance("QUAM A2", 220.0, 1e-9, 0.0, 0.00015)
BURETTE = Glass("burette", "QUAM A2", "", 25.0, 0.03, None, cite("quam-2012", "example A2"))


def test_a2_sodium_hydroxide_against_phthalate() -> None:
    standard = find_standard("sodium-hydroxide", {"against": "potassium hydrogen phthalate"}, {})
    how = Setting(BALANCE, BURETTE, purity=1.0, purity_half=0.0005, swing_K=3.0, method_repeatability=0.0005)
    found = titrate(standard, [Run(18.64, mass_g=0.3888)], how)
    budget = combine((d.words, d.u_rel) for d in found.doubts)
    assert found.titres.mean == pytest.approx(0.10214, abs=0.000005)
    assert found.titres.mean * budget.u_rel == pytest.approx(0.00010, abs=0.000005)


def test_a2_one_mole_of_each() -> None:
    row = next(r for r in standardisations("sodium-hydroxide") if r.primary_standard == "potassium-hydrogen-phthalate")
    assert row.titrant_per_standard == 1
