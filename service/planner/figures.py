"""Significant figures: the textbook answer, the window that keeps the strength as asked, and displays.

Rounding is half to even (OpenStax Chemistry 2e, section 1.5). The textbook answer rounds the amount to the
figures of the request and can lose them: 1.248 g rounded to 1.25 g gives 0.0501 M, not 0.0500 M. So a plan
carries both the textbook answer and the window of amounts that truly gives the strength asked for.
"""

import math
from decimal import ROUND_HALF_EVEN, Decimal

from grammar.request import Quantity
from rules.plan import Amount, Window

#: Relative tolerance a house allows when the typed figures allow more (common practice, no source).
HOUSE_TOLERANCE = {"accurate": 0.001, "standard": 0.001, None: 0.01, "approximate": 0.05}
#: A strength typed with fewer figures is still answered with three, as textbooks do.
LEAST_TEXTBOOK_FIGURES = 3


def round_figures(value: float, figures: int) -> str:
    """``value`` to ``figures`` significant figures as plain text, trailing zeros kept, half to even."""
    if value == 0 or not math.isfinite(value):
        return "0"
    exact = Decimal(repr(value))
    place = exact.adjusted() - figures + 1
    rounded = exact.quantize(Decimal(1).scaleb(place), rounding=ROUND_HALF_EVEN)
    if rounded.adjusted() != exact.adjusted():
        rounded = exact.quantize(Decimal(1).scaleb(place + 1), rounding=ROUND_HALF_EVEN)
    return format(rounded, "f")


def half_last_digit(quantity: Quantity) -> float:
    """Half a unit in the last digit typed, relative to the value: 0.200 gives 0.0025."""
    last = quantity.value.adjusted() - quantity.figures + 1
    if last >= 0:
        last = max(0, quantity.value.adjusted() - 2)
    return float(Decimal(5).scaleb(last - 1) / quantity.value)


def tolerance(quantity: Quantity, purpose: str | None) -> tuple[float, str]:
    """Relative half-width the strength must hold, and which limit set it: the typed figures or the house."""
    typed, house = half_last_digit(quantity), HOUSE_TOLERANCE[purpose]
    if typed <= house:
        return typed, f"keeps {quantity.value} {quantity.unit} to the figures typed"
    return house, f"within {house * 100:g} % of {quantity.value} {quantity.unit} (house tolerance)"


def window(amount: float, rel: float, why: str) -> Window:
    """The amounts between which the strength holds."""
    return Window(amount * (1 - rel), amount * (1 + rel), why)


def inward(low: float, high: float, figures: int) -> tuple[str, str]:
    """The window's ends rounded inwards at one place, so that both shown ends still keep the strength."""
    place = math.floor(math.log10(high)) - figures + 1
    while True:
        step = 10.0**place
        a, b = math.ceil(round(low / step, 6)), math.floor(round(high / step, 6))
        if a <= b or place < -12:
            decimals = max(0, -place)
            return f"{a * step:.{decimals}f}", f"{b * step:.{decimals}f}"
        place -= 1


def textbook(amount: float, unit: str, figures: int) -> str:
    """The textbook answer: the amount at the figures of the request, at least three."""
    return show(amount, unit, max(figures, LEAST_TEXTBOOK_FIGURES))


def show(value: float, unit: str, figures: int = 4) -> str:
    """A display such as "3.565 g"; small masses speak mg or ug, small volumes uL, large ones kg or L."""
    if unit == "g":
        value, unit = _scaled(
            value, ((1000, "kg"), (0.01, "g"), (1e-4, "mg"), (0, "ug")), {"kg": 1e-3, "g": 1, "mg": 1e3, "ug": 1e6}
        )
    elif unit == "mL":
        value, unit = _scaled(value, ((10000, "L"), (0.1, "mL"), (0, "uL")), {"L": 1e-3, "mL": 1, "uL": 1e3})
    elif unit == "mol/L":
        value, unit = _scaled(
            value, ((0.001, "mol/L"), (1e-4, "mmol/L"), (0, "umol/L")), {"mol/L": 1, "mmol/L": 1e3, "umol/L": 1e6}
        )
    return f"{round_figures(value, figures)} {unit}"


def _scaled(value: float, steps: tuple[tuple[float, str], ...], factors: dict[str, float]) -> tuple[float, str]:
    for least, unit in steps:
        if abs(value) >= least:
            return value * factors[unit], unit
    return value, steps[-1][1]


def on_balance(mass_g: float, readability_g: float | None) -> str:
    """A mass as the balance will show it, in g; a mass no balance here can show is given at four figures."""
    if readability_g is None or mass_g < 10 * readability_g:
        return show(mass_g, "g")
    return f"{mass_g:.{max(0, round(-math.log10(readability_g)))}f} g"


def amount(value: float, unit: str, figures: int = 4) -> Amount:
    """An ``Amount`` with its display at ``figures`` significant figures."""
    return Amount(value, unit, show(value, unit, figures))
