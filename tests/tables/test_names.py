"""Spellings of one substance meet; spellings of two never do."""

import pytest

from rules.tables.names import key_of, keys_to_try
from rules.tables.substances import all_substances, by_cas, by_formula, by_name, substance, suggest

SAME = [
    ("copper(II) sulfate", "Copper (II) Sulphate", "copper II sulfate", "cupric sulphate", "Cu(II) sulfate",
     "copper-(ii)-sulfate", "copper(2+) sulfate", "COPPER(II) SULFATE"),
    ("aluminium chloride", "aluminum chloride", "Aluminum  Chloride"),
    ("caesium chloride", "cesium chloride"),
    ("sodium hydrogen carbonate", "sodium hydrogencarbonate", "sodium hydrogen-carbonate"),
    ("iron(III) chloride", "ferric chloride", "Fe(III) chloride", "iron III chloride"),
    ("Mohr's salt", "mohrs salt", "Mohr’s salt"),
]


@pytest.mark.parametrize("spellings", SAME, ids=lambda s: s[0])
def test_spellings_meet(spellings: tuple[str, ...]) -> None:
    assert len({key_of(spelling) for spelling in spellings}) == 1


@pytest.mark.parametrize(
    ("one", "other"),
    [("sodium nitrate", "sodium nitrite"), ("iron(II) chloride", "iron(III) chloride"), ("ferrous", "ferric"),
     ("potassium chlorate", "potassium chloride"), ("sodium sulfate", "sodium sulfite"),
     ("phosphoric acid", "phosphorous acid"), ("mercury(I) nitrate", "mercury(II) nitrate")],
)
def test_different_substances_stay_apart(one: str, other: str) -> None:
    assert key_of(one) != key_of(other)


def test_endings_are_tolerated_but_a_salt_is_not_its_metal() -> None:
    assert key_of("sodium chloride") in keys_to_try("sodium chloride solution")
    assert key_of("sodium chloride") in keys_to_try("sodium chlorides")
    assert key_of("copper") not in keys_to_try("copper salt")


@pytest.mark.parametrize("held", all_substances(), ids=lambda s: s.slug)
def test_every_substance_is_found_by_its_own_name_and_formula(held: object) -> None:
    from rules.tables.substances import Substance

    assert isinstance(held, Substance)
    assert held in [m.substance for m in by_name(held.name)]
    if held.formula:
        assert held in [m.substance for m in by_formula(held.formula)]
    for form in held.forms:
        if form.cas:
            assert any(m.substance is held and m.label in (None, form.label) for m in by_cas(form.cas))


def slugs(words: str) -> set[str]:
    return {match.substance.slug for match in by_name(words)}


def test_ambiguous_names_give_every_reading() -> None:
    assert slugs("iron chloride") == {"iron-ii-chloride", "iron-iii-chloride"}
    assert slugs("sodium phosphate") == {
        "trisodium-phosphate", "disodium-hydrogen-phosphate", "sodium-dihydrogen-phosphate"}


def test_a_trade_name_may_fix_the_form() -> None:
    assert {(m.substance.slug, m.label) for m in by_name("washing soda")} == {("sodium-carbonate", "decahydrate")}
    assert {(m.substance.slug, m.label) for m in by_name("epsom salts")} == {("magnesium-sulfate", "heptahydrate")}


def test_formula_without_water_leaves_the_form_open() -> None:
    (match,) = by_formula("CuSO4")
    assert (match.substance.slug, match.label) == ("copper-ii-sulfate", None)
    (match,) = by_formula("CuSO4.5H2O")
    assert (match.substance.slug, match.label) == ("copper-ii-sulfate", "pentahydrate")
    assert by_formula("CuSO4.6H2O") == ()


def test_isomers_are_both_returned_and_structures_told_apart() -> None:
    assert {m.substance.slug for m in by_formula("C6H12O6")} >= {"d-glucose", "fructose"}
    assert {m.substance.slug for m in by_formula("C4H4O4")} == {"maleic-acid", "fumaric-acid"}
    assert {m.substance.slug for m in by_formula("NH4SCN")} == {"ammonium-thiocyanate"}
    assert {m.substance.slug for m in by_formula("CH3COOH")} == {"acetic-acid"}
    assert {m.substance.slug for m in by_formula("HOAc")} == {"acetic-acid"}


def test_text_that_is_no_formula_finds_nothing() -> None:
    assert by_formula("hello") == ()
    assert by_formula("Xx2") == ()
    assert by_name("") == ()


def test_suggestions_are_near_and_never_accepted() -> None:
    assert "potassium permanganate" in suggest("potasium permanganaat")
    assert {"sodium nitrate", "sodium nitrite"} <= set(suggest("sodium nitrte"))
    assert by_name("sodium nitrte") == ()
    assert suggest("zzzzzz") == ()


def test_forms_by_label_and_by_water() -> None:
    salt = substance("copper-ii-sulfate")
    penta = salt.form("pentahydrate")
    assert penta is not None
    assert salt.with_water("5") is penta
    assert salt.with_water("5.0") is penta
    assert salt.with_water("6") is None
    assert {form.label for form in salt.sold_forms} >= {"anhydrous", "pentahydrate"}
