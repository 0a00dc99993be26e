"""Standardising by titration: the strength of each run, what a set of runs is worth, and when it is due again.

Pure arithmetic of the method: amounts mol, volumes mL, strengths mol/L. The limits are those of the pharmacopoeia for
volumetric solutions; how often a solution is standardised again is a default of the house, to be set by each laboratory.
"""

from dataclasses import dataclass
from math import sqrt
from statistics import fmean, stdev

from rules.house import House
from rules.policies import LOCAL
from rules.tables.behaviour import behaviours
from rules.tables.load import Cite, cite

LEAST_RUNS = 3
LARGEST_RSD = 0.002
FARTHEST_FROM_NOMINAL = 0.10
#: Days after which a standardised solution is titrated again, unless it must be done on the day or keeps less long.
INTERVAL_DAYS = House().standardise_days

VOLUMETRIC = cite("ph-eur-8", "4.2.2 Volumetric solutions: strength within 10 per cent of that prescribed; repeatability "
                  "(relative standard deviation) at most 0.2 per cent")
CONCORDANT = cite("practice", "three concordant titrations")
HOUSE = cite("house-default", "standardised again every 28 days")


@dataclass(frozen=True, slots=True)
class Titres:
    """What a set of runs gives: the strengths, their mean, the sample standard deviation, both mol/L, and the RSD.

    ``standard_deviation`` and ``rsd`` are None for a single run, which says nothing about repeatability.
    """

    strengths: tuple[float, ...]
    mean: float
    standard_deviation: float | None
    rsd: float | None

    @property
    def u_repeatability(self) -> float | None:
        """Relative standard uncertainty of the mean from the scatter of the runs; None for a single run."""
        return None if self.rsd is None else self.rsd / sqrt(len(self.strengths))


@dataclass(frozen=True, slots=True)
class Check:
    """One requirement of a standardisation: what, what was found, what is needed, whether it is met, and the source."""

    what: str
    found: str
    limit: str
    met: bool
    cite: Cite


def moles_of_standard(mass_g: float, purity: float, molar_mass: float) -> float:
    """mol of the primary standard in a weighed mass (g); ``purity`` as a fraction, ``molar_mass`` g/mol."""
    return mass_g * purity / molar_mass


def net_volume(reading_mL: float, blank_mL: float, indicator_mL: float) -> float:
    """The titre in mL less the blank and the indicator correction. Raises ``ValueError`` when nothing is left."""
    net = reading_mL - blank_mL - indicator_mL
    if net <= 0:
        raise ValueError("the blank and the indicator correction leave nothing of the titre")
    return net


def strength(standard_mol: float, titrant_per_standard: float, volume_mL: float) -> float:
    """mol/L of the solution of which ``volume_mL`` met ``standard_mol`` of the standard."""
    return 1000.0 * standard_mol * titrant_per_standard / volume_mL


def gather_runs(strengths: tuple[float, ...]) -> Titres:
    """The runs taken together. Raises ``ValueError`` when there is none."""
    if not strengths:
        raise ValueError("no run counts")
    mean = fmean(strengths)
    scatter = stdev(strengths) if len(strengths) > 1 else None
    return Titres(strengths, mean, scatter, None if scatter is None else scatter / mean)


def checks(titres: Titres, nominal_mol_L: float | None) -> tuple[Check, ...]:
    """The requirements, each met or not; that on the nominal strength only where one is known."""
    count, rsd = len(titres.strengths), titres.rsd
    found = [
        Check("runs that count", str(count), f"at least {LEAST_RUNS}", count >= LEAST_RUNS, CONCORDANT),
        Check("relative standard deviation", "not known from one run" if rsd is None else f"{100 * rsd:.3f} %",
              f"at most {100 * LARGEST_RSD:g} %", rsd is not None and rsd <= LARGEST_RSD, VOLUMETRIC),
    ]
    if nominal_mol_L:
        away = titres.mean / nominal_mol_L - 1
        found.append(Check("difference from nominal", f"{100 * away:+.2f} %", f"within {100 * FARTHEST_FROM_NOMINAL:g} %",
                           abs(away) <= FARTHEST_FROM_NOMINAL, VOLUMETRIC))
    return tuple(found)


def due_days(slug: str, shelf_life_days: int | None, interval: int = INTERVAL_DAYS) -> tuple[int, str, Cite]:
    """In how many days a standardised solution of that substance is due again, why, and the source of that."""
    fresh = behaviours(slug).get("fresh-only")
    if fresh is not None:
        return 0, "standardised on the day it is used", fresh.cite
    if shelf_life_days is not None and shelf_life_days < interval:
        return shelf_life_days, "it keeps no longer", cite("practice", "no later than the solution keeps")
    return interval, f"house interval of {interval} days", HOUSE if interval == INTERVAL_DAYS else LOCAL
