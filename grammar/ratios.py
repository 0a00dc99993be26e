"""Dilutions said as a ratio: "1 in 10", "1+9", "ten-fold", and "1:10", which the trade reads in two ways.

A ratio is turned into a factor: the strength to make is the strength of the stock over it. Where the stock's strength is
not said, the stock counts as ``factor`` X and the solution as 1 X, so that the volumes still follow from the ratio.
"""

import re
from dataclasses import dataclass
from decimal import Context, Decimal

from grammar.facts import Facts, ReadingError, Scanner
from grammar.numbers import SPELLED
from grammar.request import Quantity
from grammar.tokens import Piece

_PARTS = re.compile(r"(\d+|[a-z]+)\s?(?:parts?\s)?(:|\+|/|in|to|plus)\s?(\d+|[a-z]+)", re.IGNORECASE)
_FOLD = re.compile(r"(\d+(?:\.\d+)?|[a-z]+?)[-\s]?(?:fold|times|x)", re.IGNORECASE)
_MORE_NUMBERS = {"hundred": 100, "thousand": 1000}
LARGEST_FACTOR = 1_000_000


@dataclass(slots=True)
class Dilution:
    """``factor`` is final volume over volume of stock. ``trouble`` is set instead when the ratio has two meanings.

    ``parts``: said as volumes put together ("1+4"), so that nothing but a liquid can be meant. ``concentrated``: what is
    diluted is the reagent of the bottle, so that the strength is its volume in 100 mL.
    """

    factor: Decimal
    start: int
    end: int
    trouble: ReadingError | None = None
    parts: bool = False
    concentrated: bool = False


def six_figures(value: Decimal) -> Decimal:
    """A computed number as a person would type it."""
    return Decimal(f"{Context(prec=6).plus(value).normalize():f}")


def _number(text: str) -> Decimal | None:
    if text.isdigit():
        return Decimal(text)
    try:
        return Decimal(text)
    except ArithmeticError:
        value = SPELLED.get(text.lower(), _MORE_NUMBERS.get(text.lower()))
        return None if value is None else Decimal(value)


def ratio(scan: Scanner, token: Piece) -> None:
    """ "1 in 10" and "1+9" are ten-fold; "1:10" may be either of "1 in 10" and "1 + 10"."""
    found = _PARTS.fullmatch(token)
    first, last = (_number(found[1]), _number(found[3])) if found else (None, None)
    if found is None or not first or not last or max(first, last) > LARGEST_FACTOR:
        trouble = ReadingError("ratio-not-read", token.start_pos, token.end_pos)
        scan.facts.dilution = Dilution(Decimal(1), token.start_pos, token.end_pos, trouble)
        return
    sign = found[2].lower()
    if sign in ("+", "plus") or first == last:
        factor = (first + last) / first
    elif sign == "in" and first < last:
        factor = last / first
    elif scan.facts.series or any(c.type == "SERIES" for c in scan.chunks):
        factor = max(first, last) / min(first, last)
    else:
        readings = (f"{first} in {last}", f"{first} + {last}") if first < last else ()
        code = "ratio-two-meanings" if readings else "ratio-not-read"
        trouble = ReadingError(code, token.start_pos, token.end_pos, "", readings)
        scan.facts.dilution = Dilution(Decimal(1), token.start_pos, token.end_pos, trouble)
        return
    _keep(scan, factor, token, sign not in ("in",))


def fold(scan: Scanner, token: Piece) -> None:
    """ "ten-fold", "diluted ten times", "an equal volume of water"; after a ratio in a series, how many times it is repeated."""
    if token.lower().startswith("equal"):
        _keep(scan, Decimal(2), token, parts=True)
        return
    found = _FOLD.fullmatch(token)
    factor = _number(found[1]) if found else None
    if factor is None or not 1 <= factor <= LARGEST_FACTOR:
        raise ReadingError("ratio-not-read", token.start_pos, token.end_pos)
    if token.lower().endswith("times") and scan.facts.dilution is not None:
        scan.facts.repeats = int(factor)
    else:
        _keep(scan, factor, token)


def _keep(scan: Scanner, factor: Decimal, token: Piece, parts: bool = False) -> None:
    before = scan.facts.dilution
    if before is not None and before.factor != factor:
        raise ReadingError("ratio-not-read", token.start_pos, token.end_pos)
    scan.facts.dilution = Dilution(factor, token.start_pos, token.end_pos, None, parts)


def diluted(facts: Facts, target: Quantity | None, source: Quantity | None) -> tuple[Quantity | None, Quantity | None]:
    """Strengths of the solution and of its stock once the ratio counts. Raises where ratio and strengths disagree."""
    dilution = facts.dilution
    if dilution is None:
        return target, source
    if dilution.trouble is not None:
        raise dilution.trouble
    stock = source or facts.label_strength
    if target is not None and stock is not None:
        if target.unit != stock.unit or target.value * dilution.factor != stock.value:
            raise ReadingError("two-strengths", dilution.start, dilution.end)
        return target, source
    stated = stock or target
    if stated is None and dilution.concentrated:
        return Quantity(six_figures(100 / dilution.factor), "% v/v"), None
    if stated is None and not facts.dilution_said and not dilution.parts:
        percent = f"{(100 / dilution.factor).normalize():f} %"
        readings = (f"{percent} w/v", f"{percent} v/v")
        raise ReadingError("ratio-of-what", dilution.start, dilution.end, "", readings)
    if stated is None:
        return Quantity(Decimal(1), "X"), Quantity(dilution.factor, "X")
    made = Quantity(stated.value / dilution.factor, stated.unit, stated.of)
    return made, source if facts.label_strength is not None else stated
