"""The closed list of units: every factor against pint, every spelling back to its key."""

from decimal import Decimal

import pint
import pytest

from grammar import read_quantity
from grammar.request import Quantity
from grammar.units import ASKED, PER, SYMBOLS, UNITS, WORDS, dimension, in_base, near_units, read_unit

# Canonical keys in pint's spelling: pint reads N as newton and % w/v not at all, so it is given these only.
PINT = {
    **{
        key: key
        for key in (
            "L",
            "dL",
            "cL",
            "mL",
            "kg",
            "g",
            "mg",
            "mol",
            "mmol",
            "mol/L",
            "mmol/L",
            "nmol/L",
            "g/L",
            "mg/L",
            "ng/L",
        )
    },
    **{"uL": "microliter", "ug": "microgram", "umol": "micromole", "umol/L": "micromole/L", "ug/L": "microgram/L"},
    **{"g/100mL": "10 * g/L", "mg/100mL": "mg/dL", "mg/mL": "mg/mL", "ug/mL": "microgram/mL", "ng/mL": "ng/mL"},
    **{"g/mL": "g/mL", "kg/m3": "kg/m^3", "mol/kg": "mol/kg", "mmol/kg": "mmol/kg"},
    **{"g/mol": "g/mol"},
    **{"min": "minute", "h": "hour", "day": "day", "week": "week"},
}
# No unit of pint: their factor is 1, or a metric prefix of a unit of the list.
PLAIN = {
    "%": 1,
    "% w/v": 1,
    "% w/w": 1,
    "% v/v": 1,
    "ppm": 1,
    "ppb": 0.001,
    "m": 1,
    "N": 1,
    "mN": 0.001,
    "mEq/L": 0.001,
}
PLAIN |= {"X": 1, "vol": 1, "degC": 1}


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    return pint.UnitRegistry()


def test_every_unit_is_compared() -> None:
    assert set(PINT) | set(PLAIN) == set(UNITS)


@pytest.mark.parametrize("key", PINT)
def test_factor_agrees_with_pint(key: str, registry: pint.UnitRegistry) -> None:
    base = PINT[UNITS[key].base]
    assert float(UNITS[key].factor) == pytest.approx(registry(PINT[key]).to(base).magnitude, rel=1e-12)


@pytest.mark.parametrize("key", PLAIN)
def test_factor_of_units_without_pint(key: str) -> None:
    assert float(UNITS[key].factor) == PLAIN[key]


@pytest.mark.parametrize("pair", PER, ids="/".join)
def test_compounds_agree_with_pint(pair: tuple[str, str], registry: pint.UnitRegistry) -> None:
    top, below = pair
    key = PER[pair]
    if top in ("eq", "meq", "osmol"):
        assert read_unit(f"{top}/{below}") == key
        return
    names = {
        "m3": "m^3",
        "100mL": "dL",
        "ug": "microgram",
        "ng": "nanogram",
        "umol": "micromole",
        "uL": "microliter",
        "nmol": "nanomole",
    }
    left = registry(f"{names.get(top, top)}/{names.get(below, below)}")
    right = registry(PINT[UNITS[key].base]) * float(UNITS[key].factor)
    assert left.to(right.units).magnitude == pytest.approx(right.magnitude, rel=1e-12)


@pytest.mark.parametrize(("spelling", "key"), [*SYMBOLS.items(), *WORDS.items()])
def test_every_spelling_is_read(spelling: str, key: str) -> None:
    if key in UNITS or key in ASKED:
        assert read_unit(spelling) == key


@pytest.mark.parametrize("spelling", [s for s, k in {**SYMBOLS, **WORDS}.items() if k in UNITS and s not in ("M",)])
def test_every_spelling_is_read_after_a_number(spelling: str) -> None:
    assert read_quantity(f"2.50 {spelling}") == Quantity(Decimal("2.50"), {**SYMBOLS, **WORDS}[spelling])


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("0.2 mol dm-3", "0.2", "mol/L"),
        ("0.2 mol dm^-3", "0.2", "mol/L"),
        ("0.2 mol dm⁻³", "0.2", "mol/L"),
        ("0.2 mol·dm⁻³", "0.2", "mol/L"),
        ("0.2 mol L-1", "0.2", "mol/L"),
        ("0.2mol/l", "0.2", "mol/L"),
        ("0.2 mol / L", "0.2", "mol/L"),
        ("0.2 moles per cubic decimetre", "0.2", "mol/L"),
        ("20 mmol per litre", "20", "mmol/L"),
        ("5 mol/m3", "5", "mmol/L"),
        ("1.18 g cm-3", "1.18", "g/mL"),
        ("1.18 g/cm³", "1.18", "g/mL"),
        ("1180 kg m-3", "1180", "kg/m3"),
        ("1.18 kg/L", "1.18", "g/mL"),
        ("5 g per 100 mL", "5", "g/100mL"),
        ("5 g/100ml", "5", "g/100mL"),
        ("5 %w/v", "5", "% w/v"),
        ("5 % (m/v)", "5", "% w/v"),
        ("5 w/v %", "5", "% w/v"),
        ("5 percent by volume", "5", "% v/v"),
        ("5 vol%", "5", "% v/v"),
        ("5 wt %", "5", "% w/w"),
        ("5 pct", "5", "%"),
        ("3 mEq/L", "3", "mEq/L"),
        ("20 ℃", "20", "degC"),
    ],
)
def test_spellings_with_structure(text: str, value: str, unit: str) -> None:
    assert read_quantity(text) == Quantity(Decimal(value), unit)


@pytest.mark.parametrize(
    "text",
    ["", "M", "5", "50000 ML", "5 furlong", "5 mol/mol", "5 mL 3", "5 pH", "9**9 mL", "5 mm", "0.1 mol/kL", "1" * 200],
)
def test_no_quantity(text: str) -> None:
    assert read_quantity(text) is None


def test_case_matters_for_symbols() -> None:
    assert [read_unit(u) for u in ("M", "m", "mM", "MM", "mL", "ML", "N", "n")] == [
        "mol/L",
        "m",
        "mmol/L",
        None,
        "mL",
        "ML",
        "N",
        None,
    ]


def test_base_values() -> None:
    assert in_base(Quantity(Decimal("0.25"), "L")) == 250
    assert in_base(Quantity(Decimal("5"), "g/100mL")) == 50
    assert dimension("ML") == "asked"


def test_near_units_are_only_units_that_are_read() -> None:
    assert "millilitres" in near_units("millilitrs")
    assert near_units("banana") == []
