"""The element table against the published table of the Commission, and molar masses against two other programs.

Commission on Isotopic Abundances and Atomic Weights, Standard Atomic Weights 2021,
https://www.ciaaw.org/atomic-weights.htm: a value with its uncertainty in the last digits, or an interval.
"""

import pytest
from molmass import Formula

from rules.tables.masses import atomic_weights, molar_mass

#: symbol -> (value, quoted uncertainty), as printed there without spaces.
SINGLE = {
    "He": (4.002602, 2e-6), "Be": (9.0121831, 5e-7), "F": (18.998403162, 5e-9), "Ne": (20.1797, 6e-4),
    "Na": (22.98976928, 2e-8), "Al": (26.9815384, 3e-7), "P": (30.973761998, 5e-9), "K": (39.0983, 1e-4),
    "Ca": (40.078, 4e-3), "Sc": (44.955907, 4e-6), "Ti": (47.867, 1e-3), "V": (50.9415, 1e-4), "Cr": (51.9961, 6e-4),
    "Mn": (54.938043, 2e-6), "Fe": (55.845, 2e-3), "Co": (58.933194, 3e-6), "Ni": (58.6934, 4e-4),
    "Cu": (63.546, 3e-3), "Zn": (65.38, 2e-2), "Ga": (69.723, 1e-3), "Ge": (72.630, 8e-3), "As": (74.921595, 6e-6),
    "Se": (78.971, 8e-3), "Kr": (83.798, 2e-3), "Rb": (85.4678, 3e-4), "Sr": (87.62, 1e-2), "Y": (88.905838, 2e-6),
    "Zr": (91.224, 2e-3), "Nb": (92.90637, 1e-5), "Mo": (95.95, 1e-2), "Ru": (101.07, 2e-2), "Rh": (102.90549, 2e-5),
    "Pd": (106.42, 1e-2), "Ag": (107.8682, 2e-4), "Cd": (112.414, 4e-3), "In": (114.818, 1e-3), "Sn": (118.710, 7e-3),
    "Sb": (121.760, 1e-3), "Te": (127.60, 3e-2), "I": (126.90447, 3e-5),
}
#: symbol -> interval as printed there.
INTERVAL = {
    "H": (1.00784, 1.00811), "Li": (6.938, 6.997), "B": (10.806, 10.821), "C": (12.0096, 12.0116),
    "N": (14.00643, 14.00728), "O": (15.99903, 15.99977), "Mg": (24.304, 24.307), "Si": (28.084, 28.086),
    "S": (32.059, 32.076), "Cl": (35.446, 35.457), "Ar": (39.792, 39.963), "Br": (79.901, 79.907),
}


@pytest.mark.parametrize("symbol", [s for s in SINGLE if s in atomic_weights()])
def test_single_values(symbol: str) -> None:
    weight, u = atomic_weights()[symbol]
    assert weight == pytest.approx(SINGLE[symbol][0], rel=1e-12)
    assert u * 3**0.5 == pytest.approx(SINGLE[symbol][1], rel=1e-9)


@pytest.mark.parametrize("symbol", sorted(INTERVAL))
def test_intervals(symbol: str) -> None:
    low, high = INTERVAL[symbol]
    weight, u = atomic_weights()[symbol]
    assert low - 0.0005 <= weight <= high, "the abridged value is the interval's, rounded to five figures"
    assert u * 3**0.5 >= (high - low) / 2 * 0.5, "the abridged uncertainty covers about the interval"


def test_most_of_the_table_is_compared() -> None:
    assert len([s for s in {*SINGLE, *INTERVAL} if s in atomic_weights()]) >= 45


@pytest.mark.parametrize(("ours", "theirs"), [
    ("CuSO4.5H2O", "CuSO4(H2O)5"), ("Na2S2O3.5H2O", "Na2S2O3(H2O)5"), ("Na2HPO4.12H2O", "Na2HPO4(H2O)12"),
    ("(NH4)2Fe(SO4)2.6H2O", "(NH4)2Fe(SO4)2(H2O)6"), ("KAl(SO4)2.12H2O", "KAl(SO4)2(H2O)12"), ("C8H5KO4", "C8H5KO4"),
    ("K2Cr2O7", "K2Cr2O7"), ("KMnO4", "KMnO4"), ("AgNO3", "AgNO3"), ("CaSO4.0.5H2O", "Ca2S2O8H2O"),
    ("Na2B4O7.10H2O", "Na2B4O7(H2O)10"), ("C12H22O11", "C12H22O11"), ("C10H14N2Na2O8.2H2O", "C10H14N2Na2O8(H2O)2"),
    ("Pb(NO3)2", "Pb(NO3)2"), ("Hg2Cl2", "Hg2Cl2"), ("NiCl2.6H2O", "NiCl2(H2O)6"), ("Al2(SO4)3.18H2O", "Al2(SO4)3(H2O)18"),
])
def test_molar_masses_agree_with_molmass(ours: str, theirs: str) -> None:
    """molmass (Gohlke) works from isotope data: agreement within the spread of natural material, 0.02 %."""
    wanted = Formula(theirs).mass / (2 if "0.5H2O" in ours else 1)
    assert molar_mass(ours)[0] == pytest.approx(wanted, rel=2e-4)
