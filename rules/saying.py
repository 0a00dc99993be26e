"""How rules put numbers into sentences: significant figures, and the unit a person would use."""

import math
from decimal import ROUND_HALF_EVEN, Decimal

#: Between these, and with fewer figures than ``_DIGITS``, the quick way of ``figures`` writes no exponent.
_LEAST, _MOST, _DIGITS = 1e-4, 1e12, 15
_SCALES: dict[str, tuple[tuple[float, str, float], ...]] = {
    "g": ((1000, "kg", 1e-3), (0.01, "g", 1), (1e-5, "mg", 1e3), (1e-8, "ug", 1e6), (0, "ng", 1e9)),
    "mL": ((10000, "L", 1e-3), (0.1, "mL", 1), (0, "uL", 1e3)),
    "mol/L": ((1e-3, "mol/L", 1), (1e-5, "mmol/L", 1e3), (1e-8, "umol/L", 1e6), (0, "nmol/L", 1e9)),
    "g/L": ((0.1, "g/L", 1), (1e-4, "mg/L", 1e3), (0, "ug/L", 1e6)),
}


def power(value: float) -> str:
    """A very small or large number as a power of ten at two figures: "1.8 x 10^-10"."""
    digits, exponent = f"{value:.1e}".split("e")
    return f"{digits} x 10^{int(exponent)}"


_MOST_FIGURES = 20  # decimal arithmetic carries 28; nobody reads more than this


def figures(value: float, count: int = 3) -> str:
    """``value`` to ``count`` significant figures as plain text, trailing zeros kept, half to even; "0" for zero.

    A value is taken as the shortest decimal that reads back as it, so 2.675 is a tie and gives 2.68.
    """
    if _LEAST < value < _MOST and 0 < count < _DIGITS:
        # Fifteen digits tell a tie (a five, then zeros): the only case where the binary value can round the other way.
        digits = f"{value:.14e}"
        if digits[count + 1] != "5" or digits[count + 2 : _DIGITS + 1].strip("0"):
            shown = f"{value:#.{count}g}"
            if "e" not in shown:
                return shown.rstrip(".")
    return _exact(value, min(count, _MOST_FIGURES))


def _exact(value: float, count: int) -> str:
    """The same in decimal arithmetic: right for every value, at three times the cost."""
    if value == 0 or not math.isfinite(value):
        return "0"
    exact = Decimal(repr(value))
    place = exact.adjusted() - count + 1
    rounded = exact.quantize(Decimal(1).scaleb(place), rounding=ROUND_HALF_EVEN)
    if rounded.adjusted() != exact.adjusted():
        rounded = exact.quantize(Decimal(1).scaleb(place + 1), rounding=ROUND_HALF_EVEN)
    return format(rounded, "f")


def say(value: float, unit: str, count: int = 3) -> str:
    """``value`` (in g, mL, mol/L or g/L) as a person reads it: 0.0031 g gives "3.10 mg"."""
    for least, name, factor in _SCALES[unit]:
        if abs(value) >= least:
            return f"{figures(value * factor, count)} {name}"
    return f"{figures(value, count)} {unit}"


def sentence(text: str) -> str:
    """The text with a capital first letter and everything else as it is."""
    return text[:1].upper() + text[1:]
