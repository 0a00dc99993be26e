"""Which liquid each solution of a series is taken from, how much of it, and in which flask it is made up. Pure arithmetic.

A level comes straight from the stock where a pipette can measure it; a weaker one comes from a stronger level or from a
shared intermediate. A dilution by one factor throughout is done step by step, each from the one before.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from rules.tables.glassware import Glass
from rules.tables.lab import Lab
from service.planner.pouring import SMALLEST_PIPETTED_mL, pour

LARGEST_FACTOR = 100.0
INTERMEDIATE_FACTORS = (10.0, 20.0, 50.0, 100.0)
INTERMEDIATE_mL = 100.0
CLOSE = 1e-6


@dataclass(frozen=True, slots=True)
class Take:
    """``take_mL`` of source ``source`` made up to ``flask``: -1 is the stock, -2 the intermediate, else the level of that index."""

    source: int
    take_mL: float
    flask: Glass
    using: str
    exact: bool


@dataclass(frozen=True, slots=True)
class Scheme:
    """One take for each level, strongest first; the intermediate, where one is made, as its own take from the stock."""

    takes: tuple[Take, ...]
    intermediate: Take | None
    intermediate_share: float
    serial: bool

    @property
    def inexact(self) -> int:
        """How many takes are not a single filling of a one-mark pipette."""
        return sum(not t.exact for t in self.takes)

    @property
    def stock_used(self) -> float:
        """How much of the stock all of it uses, mL."""
        used = sum(t.take_mL for t in self.takes if t.source == -1)
        return used + (self.intermediate.take_mL if self.intermediate else 0.0)


def scheme(lab: Lab, shares: Sequence[float], flask: Glass, stepwise: bool = True) -> Scheme | None:
    """The takes for levels of ``shares`` of the stock's strength (strongest first, each at most 1); None where none works.

    ``stepwise``: whether levels that follow one factor are made each from the one before, even where the stock would do.
    """
    serial = _serial(lab, shares, flask) if _one_factor(shares) else None
    if serial is not None and stepwise:
        return serial
    return _shared(lab, shares, flask) or serial


def _one_factor(shares: Sequence[float]) -> bool:
    """Whether the stock and every level follow one another by the same factor."""
    factors = [a / b for a, b in zip((1.0, *shares), shares, strict=False)]
    return len(shares) > 1 and factors[0] > 1 and all(math.isclose(f, factors[0], rel_tol=CLOSE) for f in factors)


def _serial(lab: Lab, shares: Sequence[float], flask: Glass) -> Scheme | None:
    taken = [_take(lab, n - 1, b / a, flask) for n, (a, b) in enumerate(zip((1.0, *shares), shares, strict=False))]
    found = tuple(t for t in taken if t is not None)
    return Scheme(found, None, 0.0, True) if len(found) == len(shares) else None


def _shared(lab: Lab, shares: Sequence[float], flask: Glass) -> Scheme | None:
    """Levels from the stock, the rest from one intermediate; the intermediate that gives most single pipettes."""
    direct = [_take(lab, -1, share, flask) for share in shares]
    if all(direct):
        return Scheme(tuple(t for t in direct if t), None, 0.0, False)
    hundred = next((f for f in lab.flasks if f.nominal_mL == INTERMEDIATE_mL), lab.flasks[-1])
    best: Scheme | None = None
    for factor in INTERMEDIATE_FACTORS:
        made = _take(lab, -1, 1 / factor, hundred)
        rest = [t or _take(lab, -2, share * factor, flask) for t, share in zip(direct, shares, strict=True)]
        used = sum(t.take_mL for t in rest if t and t.source == -2)
        if made is None or not all(rest) or used > hundred.nominal_mL:
            continue
        found = Scheme(tuple(t for t in rest if t), made, 1 / factor, False)
        if best is None or found.inexact < best.inexact:
            best = found
    return best


def _take(lab: Lab, source: int, share: float, flask: Glass) -> Take | None:
    volume = share * flask.nominal_mL
    if share > 1 + CLOSE or volume < SMALLEST_PIPETTED_mL * (1 - CLOSE) or 1 / share > LARGEST_FACTOR * (1 + CLOSE):
        return None
    if share > 1 - CLOSE:
        return Take(source, flask.nominal_mL, flask, "used as it is", True)
    ware = pour(lab, volume)
    if ware is None:
        return None
    exact = len(ware.deliveries) == 1 and ware.deliveries[0].kind == "one-mark-pipette"
    return Take(source, volume, flask, ware.words, exact)
