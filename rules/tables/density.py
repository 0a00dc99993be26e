"""Density of water and of aqueous solutions, g/mL.

Water: Tanaka et al., Metrologia 38 (2001) 301, equation 1, 0 to 40 degC, uncertainty under 0.000001 g/mL.
Solutions: Laliberte and Cooper, J. Chem. Eng. Data 49 (2004) 1141, equations 5 to 7, with the coefficients of
Laliberte, J. Chem. Eng. Data 54 (2009) 1725; never used outside the range they were fitted over.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import exp

from rules.tables.load import Cite, cite, rows


@dataclass(frozen=True, slots=True)
class Density:
    """A density in g/mL and where it comes from."""

    value_g_per_mL: float
    cite: Cite


@dataclass(frozen=True, slots=True)
class _Fit:
    c: tuple[float, float, float, float, float]
    low_degC: float
    high_degC: float
    most: float
    cite: Cite


@lru_cache(maxsize=256)
def water_density(temperature_degC: float) -> float:
    """Density of air-free water, g/mL, at 0 to 40 degC. Raises ``ValueError`` outside."""
    if not 0.0 <= temperature_degC <= 40.0:
        raise ValueError(f"the water density equation holds from 0 to 40 degC, not at {temperature_degC:g}")
    t = temperature_degC
    return 0.999974950 * (1.0 - (t - 3.983035) ** 2 * (t + 301.797) / (522528.9 * (t + 69.34881)))


@lru_cache(maxsize=1)
def _fits() -> dict[str, _Fit]:
    anything = (-1e9, 1e9)
    read = rows("density_coefficients", key=("substance",),
                filled=("c0", "c1", "c2", "c3", "c4", "temperature_low_degC", "temperature_high_degC",
                        "mass_fraction_max"),
                numeric={"c0": anything, "c1": anything, "c2": anything, "c3": anything, "c4": anything,
                         "temperature_low_degC": (-20, 100), "temperature_high_degC": (0, 400),
                         "mass_fraction_max": (0.001, 1.0)})
    return {r["substance"]: _Fit((float(r["c0"]), float(r["c1"]), float(r["c2"]), float(r["c3"]), float(r["c4"])),
                                 float(r["temperature_low_degC"]), float(r["temperature_high_degC"]),
                                 float(r["mass_fraction_max"]), cite(r["source_id"], r["locator"]))
            for r in read}


def _fit(slug: str, temperature_degC: float) -> _Fit | None:
    fit = _fits().get(slug)
    if fit is None or not max(0.0, fit.low_degC) <= temperature_degC <= min(40.0, fit.high_degC):
        return None
    return fit


def _mixed(fit: _Fit, mass_fraction: float, temperature_degC: float) -> float:
    c0, c1, c2, c3, c4 = fit.c
    w, t = mass_fraction, temperature_degC
    apparent = (c0 * w + c1) * exp(1e-6 * (t + c4) ** 2) / (w + c2 + c3 * t) / 1000.0
    return 1.0 / ((1.0 - w) / water_density(t) + w / apparent)


def solution_density(slug: str, mass_fraction: float, temperature_degC: float = 20.0) -> Density | None:
    """Density of the solution in water; ``mass_fraction`` of the solute without water, 0 to 1.

    None when the substance has no coefficients or the strength or temperature lies outside the fitted range.
    """
    fit = _fit(slug, temperature_degC)
    if fit is None or not 0.0 <= mass_fraction <= fit.most:
        return None
    return Density(_mixed(fit, mass_fraction, temperature_degC), fit.cite)


@lru_cache(maxsize=2048)
def fraction_from_molarity(
    slug: str, mol_per_L: float, molar_mass: float, temperature_degC: float = 20.0,
) -> tuple[float, Density] | None:
    """(mass fraction 0 to 1, density) of a solution of ``mol_per_L``; ``molar_mass`` g/mol of the solute without water.

    Solved by repeating w = c M / rho(w); None outside the fitted range.
    """
    fit = _fit(slug, temperature_degC)
    if fit is None or mol_per_L < 0.0:
        return None
    grams_per_mL = mol_per_L * molar_mass / 1000.0
    w = grams_per_mL
    for _ in range(200):
        density = _mixed(fit, min(w, fit.most), temperature_degC)
        nearer = grams_per_mL / density
        if abs(nearer - w) < 1e-12:
            break
        w = nearer
    if w > fit.most * (1.0 + 1e-9):
        return None
    return w, Density(density, fit.cite)
