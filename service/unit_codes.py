"""Units as trade codes: UN/CEFACT Recommendation 20, each with the unit of this program it stands for exactly."""

from typing import Any, Final

CODES: Final[dict[str, str]] = {
    "LTR": "L",
    "DMQ": "L",  # cubic decimetre
    "MLT": "mL",
    "CMQ": "mL",  # cubic centimetre
    "4G": "uL",
    "KGM": "kg",
    "GRM": "g",
    "MGM": "mg",
    "MC": "ug",
    "C34": "mol",
    "C18": "mmol",
    "C38": "mol/L",
    "C35": "mol/L",  # mole per cubic decimetre
    "M33": "mmol/L",
    "C36": "mmol/L",  # mole per cubic metre
    "GL": "g/L",
    "M1": "mg/L",
    "23": "g/mL",  # gram per cubic centimetre
    "GJ": "g/mL",
    "KMQ": "kg/m3",
    "C19": "mol/kg",
    "P1": "%",
    "59": "ppm",
    "CEL": "degC",
}
_DEEPEST = 12  # no typed request is nested deeper


def in_own_units(value: Any, depth: int = 0) -> Any:
    """JSON values with every ``unit`` that is a code replaced by the unit; everything else as it is."""
    if depth > _DEEPEST:
        return value
    if isinstance(value, list):
        return [in_own_units(item, depth + 1) for item in value]
    if not isinstance(value, dict):
        return value
    return {
        key: CODES.get(held, held) if key == "unit" and isinstance(held, str) else in_own_units(held, depth + 1)
        for key, held in value.items()
    }


def codes_for(units: tuple[str, ...]) -> tuple[str, ...]:
    """The codes that stand for one of these units."""
    return tuple(code for code, unit in CODES.items() if unit in units)
