"""The closed list of units: every spelling that is read, its canonical key, dimension and exact factor.

To add a spelling: put it in ``SYMBOLS`` (case matters) or ``WORDS`` (case does not matter), or in ``PER`` for a
compound such as mol/L. Nothing else needs changing: the lexer's pattern is built from these tables.
Factors are exact by definition of the units (SI Brochure, 9th edition, 2019; the litre is 1 dm3).
"""

import re
from dataclasses import dataclass
from decimal import Decimal

from grammar.request import Quantity


@dataclass(frozen=True, slots=True)
class Unit:
    """One canonical unit. ``factor`` turns a value in this unit into the base unit of the dimension."""

    key: str
    dimension: str
    factor: Decimal
    base: str


def _rows(dimension: str, base: str, *rows: tuple[str, str]) -> dict[str, Unit]:
    return {key: Unit(key, dimension, Decimal(factor), base) for key, factor in rows}


UNITS: dict[str, Unit] = {
    **_rows("volume", "mL", ("L", "1000"), ("dL", "100"), ("cL", "10"), ("mL", "1"), ("uL", "0.001")),
    **_rows("mass", "g", ("kg", "1000"), ("g", "1"), ("mg", "0.001"), ("ug", "0.000001")),
    **_rows("amount", "mol", ("mol", "1"), ("mmol", "0.001"), ("umol", "0.000001")),
    **_rows("molar", "mol/L", ("mol/L", "1"), ("mmol/L", "0.001"), ("umol/L", "0.000001"), ("nmol/L", "0.000000001")),
    **_rows("mass per volume", "g/L", ("g/L", "1"), ("mg/L", "0.001"), ("ug/L", "0.000001"), ("ng/L", "0.000000001")),
    **_rows("mass per volume", "g/L", ("g/100mL", "10"), ("mg/100mL", "0.01"), ("mg/mL", "1"), ("ug/mL", "0.001")),
    **_rows("mass per volume", "g/L", ("ng/mL", "0.000001")),
    **_rows("density", "g/mL", ("g/mL", "1"), ("kg/m3", "0.001")),
    **_rows("percent", "%", ("%", "1"), ("% w/v", "1"), ("% w/w", "1"), ("% v/v", "1")),
    **_rows("parts", "ppm", ("ppm", "1"), ("ppb", "0.001")),
    **_rows("molal", "mol/kg", ("mol/kg", "1"), ("mmol/kg", "0.001")),
    **_rows("molar or molal", "m", ("m", "1")),
    **_rows("normal", "N", ("N", "1"), ("mN", "0.001"), ("mEq/L", "0.001")),
    **_rows("fold", "X", ("X", "1")),
    **_rows("peroxide volumes", "vol", ("vol", "1")),
    **_rows("temperature", "degC", ("degC", "1")),
    **_rows("molar mass", "g/mol", ("g/mol", "1")),
    **_rows("time", "h", ("min", "0"), ("h", "1"), ("day", "24"), ("week", "168")),
}
UNITS["min"] = Unit("min", "time", Decimal(1) / Decimal(60), "h")

STRENGTHS = frozenset(
    ("molar", "mass per volume", "percent", "parts", "molal", "molar or molal", "normal", "fold", "peroxide volumes")
)

# Units somebody may type but whose size or meaning is not sure: the reply asks, it never picks one.
ASKED: dict[str, tuple[str, tuple[tuple[str, str], ...]]] = {
    "ML": ("ML is a megalitre; mL is a millilitre.", (("1", "mL"),)),
    "gallon": ("A gallon differs between countries.", (("4.54609", "L"), ("3.785411784", "L"))),
    "quart": ("A quart differs between countries.", (("1.1365225", "L"), ("0.946352946", "L"))),
    "pint": ("A pint differs between countries.", (("568.26125", "mL"), ("473.176473", "mL"))),
    "cup": ("A cup is no fixed volume.", (("250", "mL"),)),
    "fluid ounce": ("A fluid ounce differs between countries.", (("28.4130625", "mL"), ("29.5735295625", "mL"))),
    "teaspoon": ("A teaspoon is no measure for a solution.", (("5", "mL"),)),
    "tablespoon": ("A tablespoon is no measure for a solution.", (("15", "mL"),)),
    "drop": ("A drop is no fixed volume.", (("0.05", "mL"),)),
    "ounce": ("Ounces are not read.", (("28.349523125", "g"),)),
    "pound": ("Pounds are not read.", (("453.59237", "g"),)),
    "grain": ("gr may be a gram or a grain.", (("1", "g"),)),
    "degF": ("Temperatures are read in degrees Celsius.", ()),
    "kelvin": ("Temperatures are read in degrees Celsius.", ()),
    "osmol": ("Osmolarity does not fix a strength.", ()),
    "osmol/L": ("Osmolarity does not fix a strength.", ()),
}

SYMBOLS: dict[str, str] = {
    spelling: key
    for key, spellings in {
        "L": "L l lt ltr ltrs Lt dm3 dm^3 lit lits",
        "dL": "dL dl",
        "cL": "cL cl",
        "mL": "mL ml mLs mls cc ccs CC cm3 cm^3 CM3 mil mils",
        "uL": "uL ul mcL mcl",
        "ML": "ML Ml MLs",
        "kg": "kg kgs Kg KG",
        "g": "g gm gms G",
        "mg": "mg mgs",
        "ug": "ug mcg",
        "ng": "ng",
        "m3": "m3 m^3",
        "grain": "gr",
        "mol": "mol mols Mol",
        "mmol": "mmol mmols",
        "umol": "umol",
        "nmol": "nmol",
        "mol/L": "M",
        "mmol/L": "mM",
        "umol/L": "uM",
        "nmol/L": "nM",
        "m": "m",
        "N": "N",
        "mN": "mN",
        "eq": "eq Eq EQ",
        "meq": "meq mEq mEQ mequiv",
        "ppm": "ppm PPM",
        "ppb": "ppb PPB",
        "degC": "°C °_C degC C deg_C degrees_C degree_C",
        "degF": "°F °_F F",
        # A gram in 100 mL, as old pharmacy lists write it (common practice, no source).
        "g/100mL": "g% gm% gms%",
        "mg/100mL": "mg%",
        "osmol": "osm Osm osmol mOsm mosm mosmol",
        "h": "h hr hrs",
        "min": "min mins",
    }.items()
    for spelling in (s.replace("_", " ") for s in spellings.split())
}

WORDS: dict[str, str] = {
    spelling: key
    for key, spellings in {
        "L": "litre litres liter liters cubic_decimetre cubic_decimetres cubic_decimeter cubic_decimeters",
        "dL": "decilitre decilitres deciliter deciliters",
        "cL": "centilitre centilitres centiliter centiliters",
        "mL": "millilitre millilitres milliliter milliliters cubic_centimetre cubic_centimetres cubic_centimeter"
        " cubic_centimeters cubic_cm",
        "uL": "microlitre microlitres microliter microliters",
        "ML": "megalitre megalitres megaliter megaliters",
        "kg": "kilogram kilograms kilo kilos kilogramme kilogrammes",
        "g": "gram grams gramme grammes",
        "mg": "milligram milligrams milligramme milligrammes",
        "ug": "microgram micrograms",
        "mol": "mole moles",
        "mmol": "millimole millimoles",
        "umol": "micromole micromoles",
        "mol/L": "molar",
        "mmol/L": "millimolar",
        "umol/L": "micromolar",
        "nmol/L": "nanomolar",
        "mol/kg": "molal",
        "mmol/kg": "millimolal",
        "N": "normal",
        "mN": "millinormal",
        "vol": "vol vols volume volumes",
        "degC": "celsius degrees_celsius deg_celsius",
        "degF": "fahrenheit degrees_fahrenheit",
        "kelvin": "kelvin",
        "gallon": "gallon gallons gal gals",
        "quart": "quart quarts",
        "pint": "pint pints",
        "cup": "cup cups cupful",
        "fluid ounce": "floz fl_oz fl._oz. fluid_ounce fluid_ounces",
        "teaspoon": "teaspoon teaspoons tsp teaspoonful",
        "tablespoon": "tablespoon tablespoons tbsp",
        "drop": "drop drops",
        "ounce": "ounce ounces oz",
        "pound": "pound pounds lb lbs",
        "h": "hour hours",
        "min": "minute minutes",
        "day": "day days",
        "week": "week weeks",
        "osmol/L": "osmolar milliosmolar osmolal milliosmolal",
        **{"ppm": "parts_per_million", "ppb": "parts_per_billion"},
    }.items()
    for spelling in (s.replace("_", " ") for s in spellings.split())
}

# Compounds: (numerator key, denominator key) -> canonical key. The denominator may be "100 mL".
PER: dict[tuple[str, str], str] = {
    ("mol", "L"): "mol/L",
    ("mmol", "mL"): "mol/L",
    ("mmol", "L"): "mmol/L",
    ("mol", "m3"): "mmol/L",
    ("umol", "mL"): "mmol/L",
    ("umol", "L"): "umol/L",
    ("nmol", "mL"): "umol/L",
    ("nmol", "L"): "nmol/L",
    ("mol", "kg"): "mol/kg",
    ("mmol", "kg"): "mmol/kg",
    ("mmol", "g"): "mol/kg",
    ("g", "mol"): "g/mol",
    ("g", "L"): "g/L",
    ("g", "dL"): "g/100mL",
    ("g", "100mL"): "g/100mL",
    ("g", "mL"): "g/mL",
    ("kg", "L"): "g/mL",
    ("kg", "m3"): "kg/m3",
    ("g", "m3"): "mg/L",
    ("mg", "L"): "mg/L",
    ("mg", "dL"): "mg/100mL",
    ("mg", "100mL"): "mg/100mL",
    ("mg", "mL"): "mg/mL",
    ("mg", "uL"): "g/mL",
    ("ug", "mL"): "ug/mL",
    ("ug", "uL"): "mg/mL",
    ("ug", "L"): "ug/L",
    ("ng", "mL"): "ng/mL",
    ("ng", "uL"): "ug/mL",
    ("ng", "L"): "ng/L",
    ("eq", "L"): "N",
    ("meq", "mL"): "N",
    ("meq", "L"): "mEq/L",
    ("osmol", "L"): "osmol/L",
}

BASES: dict[str, str] = {
    **dict.fromkeys(("w/v", "wt/vol", "m/v", "weight/volume", "mass/volume", "weight per volume", "weight by volume", "w:v"), "% w/v"),
    **dict.fromkeys(("w/w", "wt/wt", "m/m", "by weight", "by mass", "wt", "w:w", "weight/weight", "mass"), "% w/w"),
    **dict.fromkeys(("v/v", "vol/vol", "by volume", "vol", "abv", "v:v", "volume/volume"), "% v/v"),
}


_SQUEEZED = {spelling.replace(" ", ""): unit for spelling, unit in BASES.items()}


def _alternation(spellings: list[str]) -> str:
    return "|".join(re.escape(s).replace("\\ ", r"\s?") for s in sorted(spellings, key=len, reverse=True))


_SIMPLE = f"(?:{_alternation(list(SYMBOLS))}|(?i:{_alternation(list(WORDS))}))"
_BELOW = f"(?:100\\s?)?{_SIMPLE}"
_COMPOUND = (
    rf"(?:\s?(?:/|per\b|a\b)\s?(?:1\s)?{_BELOW}|[\s.*]?(?:{_SIMPLE})\s?\^?\(?-1\)?|[\s.*]?(?:dm|cm|m)\^?\(?-3\)?)"
)
_BASIS = _alternation(list(BASES))
_PERCENT = rf"(?:%|(?i:per\s?cent|pct\b))(?:\s?\(?(?i:{_BASIS})\)?(?![A-Za-z0-9]))?"
_BEFORE = r"(?i:w/v|w/w|v/v|wt|vol|mass|m/v)[\s.-]?%"
# A fold ("10X") is glued to its number and stands before a name; "2 x 500" is a multiplication.
_FOLD = r"(?<=\d)[xX](?=\s+[A-Za-z]|\s*[,;.)]|\s*$)|(?<=(?<![\d.,])1)[xX](?=\s+\d)"
# The last branch catches compounds that are not in the list ("mol/kL"), so that they are named as such.
_LISTED = rf"(?:{_SIMPLE}{_COMPOUND}|{_SIMPLE})(?![A-Za-z0-9°/^]|-\d)"
UNIT_PATTERN = rf"-?(?:{_BEFORE}|{_PERCENT}|{_LISTED}|{_FOLD}|{_SIMPLE}\s?/\s?[A-Za-z]\w*)"
UNIT_WORD = rf"(?:{_SIMPLE})(?![A-Za-z0-9])"

_SPLIT = re.compile(
    rf"(?P<top>{_SIMPLE})\s?(?:(?:/|per\b|a\b)\s?(?:1\s)?(?P<hundred>100\s?)?(?P<below>{_SIMPLE})"
    rf"|[\s.*]?(?P<power>{_SIMPLE})\s?\^?\(?-1\)?|[\s.*]?(?P<cube>dm|cm|m)\^?\(?-3\)?)"
)
_seen: dict[str, str | None] = {}


def read_unit(spelling: str) -> str | None:
    """The canonical key of a spelling (or a key of ``ASKED``), None when it is not in the list."""
    try:
        return _seen[spelling]
    except KeyError:
        key = _read_unit(spelling)
        if len(_seen) < 2000:
            _seen[spelling] = key
        return key


def _simple(spelling: str) -> str | None:
    squeezed = " ".join(spelling.split())
    return SYMBOLS.get(squeezed) or WORDS.get(squeezed.lower())


def _read_unit(spelling: str) -> str | None:
    text = spelling.strip().lstrip("-").strip()
    low = text.lower()
    percent = re.fullmatch(rf"(?:%|per\s?cent|pct)\s?\(?({_BASIS})?\)?", low)
    if percent:
        return _SQUEEZED[percent[1].replace(" ", "")] if percent[1] else "%"
    before = re.fullmatch(r"(w/v|w/w|v/v|wt|vol|mass|m/v)[\s.-]?%", low)
    if before:
        return BASES[before[1]]
    if low == "x":
        return "X"
    key = _simple(text)
    if key is not None:
        return key if key in UNITS or key in ASKED else None
    pair = _SPLIT.fullmatch(text)
    if pair is None:
        return None
    top = _simple(pair["top"])
    below = (
        {"dm": "L", "cm": "mL", "m": "m3"}[pair["cube"]] if pair["cube"] else _simple(pair["below"] or pair["power"])
    )
    if pair["hundred"]:
        below = f"100{below}"
    return PER.get((top or "", below or ""))


def in_base(quantity: Quantity) -> Decimal:
    """The value in the base unit of its dimension (mL, g, mol/L, g/L, %, mol/kg, g/mL, degC)."""
    return quantity.value * UNITS[quantity.unit].factor


def dimension(key: str) -> str:
    """The dimension of a canonical unit, "asked" for one that must be asked about."""
    unit = UNITS.get(key)
    return unit.dimension if unit else "asked"


def near_units(word: str) -> list[str]:
    """Up to three spellings close to a word that is no unit; for suggestions only, never for reading."""
    import difflib

    asked = {s for s, k in {**SYMBOLS, **WORDS}.items() if k in ASKED}
    known = sorted({*SYMBOLS, *WORDS, *UNITS} - asked - {word, word.lower()})
    return difflib.get_close_matches(word.lower()[:20], known, n=3, cutoff=0.75)
