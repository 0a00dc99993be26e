"""Significant figures: the textbook answer, the window that keeps the strength as asked, and displays.

Rounding is half to even (OpenStax Chemistry 2e, section 1.5). The textbook answer rounds the amount to the
figures of the request and can lose them: 1.248 g rounded to 1.25 g gives 0.0501 M, not 0.0500 M. So a plan
carries both the textbook answer and the window of amounts that truly gives the strength asked for.
"""

import math
from decimal import Decimal

from grammar.request import Quantity
from rules import saying
from rules.house import House
from rules.plan import Amount, Window

#: ``value`` to that many significant figures as plain text, trailing zeros kept, half to even.
round_figures = saying.figures
#: A strength typed with fewer figures is still answered with three, as textbooks do.
LEAST_TEXTBOOK_FIGURES = 3


def half_last_digit(quantity: Quantity) -> float:
    """Half a unit in the last digit typed, relative to the value: 0.200 gives 0.0025; infinite for zero."""
    if not quantity.value:
        return math.inf
    last = quantity.value.adjusted() - quantity.figures + 1
    if last >= 0:
        last = max(0, quantity.value.adjusted() - 2)
    return float(Decimal(5).scaleb(last - 1) / quantity.value)


def tolerance(quantity: Quantity, purpose: str | None, own: House) -> tuple[float, str]:
    """Relative half-width the strength must hold, and which limit set it: the typed figures or the house."""
    typed, house = half_last_digit(quantity), own.tolerance(purpose)
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


def ends(low: float, high: float, unit: str) -> tuple[Amount, Amount]:
    """A window's ends with displays rounded inwards at four figures, in the unit the amount itself is shown in."""
    name, factor = next(((n, f) for least, n, f in _SCALES.get(unit, ()) if high >= least), (unit, 1.0))
    first, last = inward(low * factor, high * factor, 4)
    return Amount(low, unit, f"{first} {name}"), Amount(high, unit, f"{last} {name}")


def textbook(amount: float, unit: str, figures: int) -> str:
    """The textbook answer: the amount at the figures of the request, at least three."""
    return show(amount, unit, max(figures, LEAST_TEXTBOOK_FIGURES))


_SCALES: dict[str, tuple[tuple[float, str, float], ...]] = {
    "g": ((1000, "kg", 1e-3), (0.01, "g", 1), (1e-4, "mg", 1e3), (0, "ug", 1e6)),
    "mL": ((10000, "L", 1e-3), (0.1, "mL", 1), (0, "uL", 1e3)),
    "mol/L": ((0.001, "mol/L", 1), (1e-4, "mmol/L", 1e3), (0, "umol/L", 1e6)),
}


def show(value: float, unit: str, figures: int = 4) -> str:
    """A display such as "3.565 g"; small masses speak mg or ug, small volumes uL, large ones kg or L."""
    if value == 0:
        return f"0 {unit}"
    for least, name, factor in _SCALES.get(unit, ()):
        if abs(value) >= least:
            return f"{round_figures(value * factor, figures)} {name}"
    return f"{round_figures(value, figures)} {unit}"


def on_balance(mass_g: float, readability_g: float | None) -> str:
    """A mass as the balance will show it, in g; a mass no balance here can show is given at four figures."""
    if readability_g is None or mass_g < 10 * readability_g:
        return show(mass_g, "g")
    return f"{mass_g:.{max(0, round(-math.log10(readability_g)))}f} g"


def amount(value: float, unit: str, figures: int = 4) -> Amount:
    """An ``Amount`` with its display at ``figures`` significant figures."""
    return Amount(value, unit, show(value, unit, figures))
