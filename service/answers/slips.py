"""The slips a wrong number is explained by: every one is a small function that computes the number it would give.

A slip is named only where its number is the claim, within the figures the claim was typed with; where several give
the same number, all are named.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from grammar.request import Quantity
from service.answers import slips_dilution, slips_figures, slips_mass
from service.answers.facts import Facts
from service.answers.slip import Slip
from service.answers.terms import base, scale

SLIPS: tuple[Slip, ...] = (*slips_mass.SLIPS, *slips_dilution.SLIPS, *slips_figures.SLIPS)
#: School tables round atomic weights (Cu 63.5, Na 23.0), so a slip's number is met this closely, relative.
ROUNDED_WEIGHTS = 0.0015
#: A claim typed with one figure is not let stand for anything further away than this, relative.
COARSEST = 0.03
#: A slip that changes the amount by less than this explains nothing.
LEAST_CHANGE = 0.005


@dataclass(frozen=True, slots=True)
class Named:
    """One slip that gives the claimed number: permanent id, short name, what was done, and the number."""

    id: str
    name: str
    said: str
    value: float


def slips_for(facts: Facts, claimed: Quantity) -> tuple[Named, ...]:
    """Every slip whose number is the claim; one line for each, the first way it comes about."""
    value, near = base(claimed), reach(claimed)
    found: dict[str, Named] = {}
    for named in numbers(facts):
        if named.id not in found and abs(named.value - value) <= near:
            found[named.id] = named
    return tuple(found.values())


def numbers(facts: Facts) -> Iterable[Named]:
    """Every wrong number that a slip gives for these facts, with the sentence that says what was done."""
    for slip in SLIPS:
        for wrong in slip.compute(facts):
            if wrong.value > 0 and abs(wrong.value / facts.right - 1) > LEAST_CHANGE:
                yield Named(slip.id, slip.name, wrong.said, wrong.value)


def reach(claimed: Quantity) -> float:
    """How far from the claim a slip's number may lie: half a unit in the last figure typed, at least as the weights allow."""
    exponent = claimed.value.as_tuple().exponent
    assert isinstance(exponent, int)
    value = abs(base(claimed))
    half = 0.5 * 10.0**exponent * scale(claimed.unit) * (1 + 1e-9)
    return max(min(half, COARSEST * value), ROUNDED_WEIGHTS * value)
