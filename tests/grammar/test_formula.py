"""Composition and hydrate notation, against periodictable and molmass."""

import molmass
import periodictable
import pytest

from grammar.formula import ELEMENTS, Formula, composition, hydrate_water, read_formula

PLAIN = [
    "NaCl",
    "KMnO4",
    "K2Cr2O7",
    "H2SO4",
    "(NH4)2SO4",
    "Al2(SO4)3",
    "Fe(NO3)3",
    "Ca(OH)2",
    "CH3COOH",
    "C6H12O6",
    "Na2B4O7",
    "(NH4)6Mo7O24",
    "KHC8H4O4",
    "Ce(SO4)2",
    "Ba(OH)2",
    "C12H22O11",
    "NaHCO3",
    "K4Fe(CN)6",
    "Pb(CH3COO)2",
    "HOCH2CH2OH",
    "Mg3(PO4)2",
    "(NH4)2Fe(SO4)2",
    "CO(NH2)2",
    "C10H14N2Na2O8",
    "KAl(SO4)2",
    "Co(NO3)2",
]
HYDRATES = {
    "CuSO4.5H2O": "CuSO4(H2O)5",
    "Na2CO3.10H2O": "Na2CO3(H2O)10",
    "NiCl2.6H2O": "NiCl2(H2O)6",
    "Na2B4O7.10H2O": "Na2B4O7(H2O)10",
    "KAl(SO4)2.12H2O": "KAl(SO4)2(H2O)12",
    "K4[Fe(CN)6].3H2O": "K4Fe(CN)6(H2O)3",
    "(NH4)2Fe(SO4)2.6H2O": "(NH4)2Fe(SO4)2(H2O)6",
    "Al2(SO4)3.18H2O": "Al2(SO4)3(H2O)18",
}


def counts(formula: str) -> dict[str, int]:
    return {str(element): int(n) for element, n in periodictable.formula(formula).atoms.items()}


@pytest.mark.parametrize("formula", PLAIN)
def test_composition_agrees_with_periodictable(formula: str) -> None:
    assert composition(formula) == counts(formula)


@pytest.mark.parametrize("formula", PLAIN)
def test_composition_agrees_with_molmass(formula: str) -> None:
    assert composition(formula) == {
        symbol: item.count for symbol, item in molmass.Formula(formula).composition().items()
    }


@pytest.mark.parametrize(("formula", "spelled"), HYDRATES.items())
def test_hydrates_agree_with_periodictable(formula: str, spelled: str) -> None:
    assert composition(formula) == counts(spelled)


def test_elements_are_those_of_periodictable() -> None:
    assert {e.symbol for e in periodictable.elements} - {"n"} == ELEMENTS


@pytest.mark.parametrize(
    "text", ["", "Xz", "Na(", "Na)", "(NaCl", "Na[Cl)", "NaCl0", "H02", "nacl", "Na Cl", "()", "[]", "5", "Na9999"]
)
def test_no_composition(text: str) -> None:
    with pytest.raises(ValueError, match=r"no |brackets"):
        composition(text)


@pytest.mark.parametrize(
    ("typed", "text", "water"),
    [
        ("CuSO4.5H2O", "CuSO4", "5"),
        ("CuSO4*5H2O", "CuSO4", "5"),
        ("CuSO4x5H2O", "CuSO4", "5"),
        ("CuSO4 5H2O", "CuSO4", "5"),
        ("CuSO4,5H2O", "CuSO4", "5"),
        ("CuSO4 + 5 H2O", "CuSO4", "5"),
        ("CuSO4.5H20", "CuSO4", "5"),
        ("CuSO4(H2O)5", "CuSO4", "5"),
        ("CuSO45H2O", "CuSO4", "5"),
        ("CuCl22H2O", "CuCl2", "2"),
        ("FeCl36H2O", "FeCl3", "6"),
        ("MgSO47H2O", "MgSO4", "7"),
        ("Na2CO310H2O", "Na2CO3", "10"),
        ("Na2HPO412H2O", "Na2HPO4", "12"),
        ("CuCl2.2H2O", "CuCl2", "2"),
        ("FeSO4.7H2O", "FeSO4", "7"),
        ("Na2S2O3.5H2O", "Na2S2O3", "5"),
        ("CaSO4.H2O", "CaSO4", "1"),
        ("CaSO4.0.5H2O", "CaSO4", "0.5"),
        ("CaSO4.1/2H2O", "CaSO4", "0.5"),
        ("MgCl2.xH2O", "MgCl2", "x"),
        ("MgCl2.nH2O", "MgCl2", "x"),
        ("MgCl2xH2O", "MgCl2", "x"),
        ("kmno4", "KMnO4", None),
        ("KMN04", "KMnO4", None),
        ("HCL", "HCl", None),
        ("naoh", "NaOH", None),
        ("CUSO4", "CuSO4", None),
        ("fe2(so4)3", "Fe2(SO4)3", None),
        ("K2Cr207", "K2Cr2O7", None),
        ("H2S04", "H2SO4", None),
        ("H20", "H2O", None),
        ("CO2", "CO2", None),
        ("Cu", "Cu", None),
    ],
)
def test_typed_formula(typed: str, text: str, water: str | None) -> None:
    read = read_formula(typed)
    assert read is not None
    assert (read.text, read.water) == (text, water)


@pytest.mark.parametrize(
    "typed",
    [
        "PBS",
        "KHP",
        "EDTA",
        "TRIS",
        "Bacon",
        "cocoa",
        "tin",
        "Xz2Qy9",
        "SDS",
        "copper",
        "I",
        "CuSO4.5H2O2",
        "C0C0",
        "NaCl.KCl.5",
        "0",
    ],
)
def test_no_formula(typed: str) -> None:
    assert read_formula(typed) is None


def test_a_repair_is_noted() -> None:
    assert read_formula("CuSO45H2O") == Formula("CuSO4", "5", "CuSO45H2O read as CuSO4.5H2O")
    assert read_formula("CuSO4.5H2O") == Formula("CuSO4", "5", None)


@pytest.mark.parametrize(
    ("words", "water"),
    [
        ("pentahydrate", "5"),
        ("penta-hydrate", "5"),
        ("Hexahydrate", "6"),
        ("hemihydrate", "0.5"),
        ("sesquihydrate", "1.5"),
        ("5-hydrate", "5"),
        ("-5-water", "5"),
        ("6 water", "6"),
        ("hydrated 6", "6"),
        ("7H2O", "7"),
        (".7H20", "7"),
        ("xH2O", "x"),
        ("anhydrous", "0"),
        ("anhyd.", "0"),
        ("variable hydrate", "x"),
        ("hydrate", None),
    ],
)
def test_hydrate_words(words: str, water: str | None) -> None:
    assert hydrate_water(words) == water
