"""Molar masses against two independent programs and against published values."""

import math
import re

import periodictable
import pytest
from molmass import Formula

from rules.tables.masses import atomic_weights, molar_mass, split_water
from rules.tables.substances import Form, all_substances

FORMS = [form for held in all_substances() for form in held.forms if form.molar_mass is not None]


def apart(formula: str) -> list[tuple[float, str]]:
    """(how many, formula) of each part joined by a dot, so that the other programs never see a dot or a half water."""
    dry, water = split_water(formula)
    parts = [(float(found[1] or 1), found[2]) for found in (re.match(r"(\d*)(.+)", part) for part in dry.split(".")) if found]
    return [*parts, (float(water), "H2O")]


@pytest.mark.parametrize("form", FORMS, ids=lambda form: form.key)
def test_every_form_agrees_with_two_other_programs(form: Form) -> None:
    theirs = sum(count * periodictable.formula(part).mass for count, part in apart(form.formula))
    others = sum(count * Formula(part).mass for count, part in apart(form.formula))
    assert form.molar_mass == pytest.approx(theirs, rel=2e-4)
    assert form.molar_mass == pytest.approx(others, rel=2e-4)


@pytest.mark.parametrize(
    ("formula", "published", "within"),
    [
        # CRC Handbook of Chemistry and Physics, 98th ed., section 4, Physical Constants of Inorganic Compounds.
        ("CuSO4.5H2O", 249.685, 0.01), ("CaSO4.0.5H2O", 145.149, 0.01), ("CdCl2.2.5H2O", 228.354, 0.01),
        ("NiSO4.6H2O", 262.847, 0.01), ("Na2CO3.10H2O", 286.141, 0.01), ("KMnO4", 158.034, 0.003),
        # EURACHEM/CITAC QUAM:2012, example A2: potassium hydrogen phthalate 204.2212 g/mol.
        ("KHC8H4O4", 204.2212, 0.003),
    ],
)
def test_published_molar_masses(formula: str, published: float, within: float) -> None:
    assert molar_mass(formula)[0] == pytest.approx(published, abs=within)


def test_uncertainty_follows_quam() -> None:
    # QUAM:2012, A2.4 step 4: u per element is the quoted uncertainty over root three, times the number of atoms;
    # the elements add as squares. Quoted values: CIAAW 2021 (H 0.0002, O 0.001).
    expected = math.sqrt((2 * 0.0002 / math.sqrt(3)) ** 2 + (0.001 / math.sqrt(3)) ** 2)
    assert molar_mass("H2O")[1] == pytest.approx(expected, rel=1e-9)


def test_water_is_split_off() -> None:
    assert split_water("CuSO4.5H2O") == ("CuSO4", "5")
    assert split_water("CaSO4.0.5H2O") == ("CaSO4", "0.5")
    assert split_water("CoCl2.H2O") == ("CoCl2", "1")
    assert split_water("FeCl3.xH2O") == ("FeCl3", "x")
    assert split_water("NH2OH.HCl") == ("NH2OH.HCl", "0")


@pytest.mark.parametrize("text", ["", "hello", "FeCl3.xH2O", "Ac2O3", "H2O)"])
def test_what_has_no_molar_mass_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r".+"):
        molar_mass(text)


def test_atomic_weights_are_those_of_the_reference_program() -> None:
    for symbol, (weight, _) in atomic_weights().items():
        theirs = getattr(periodictable, symbol).mass
        assert weight == pytest.approx(theirs, rel=2e-3 if symbol in ("Li", "Pb") else 1e-4), symbol


@pytest.mark.parametrize("form", [f for held in all_substances() for f in held.forms if f.cas], ids=lambda f: f.key)
def test_cas_check_digits(form: Form) -> None:
    digits = form.cas.replace("-", "")
    assert sum(place * int(digit) for place, digit in enumerate(reversed(digits[:-1]), 1)) % 10 == int(digits[-1])
