"""The chemistry of buffers: pH from composition and composition for a pH, with Davies activities.

pH is minus the logarithm of the hydrogen ion's activity. Every concentration is mol/L (taken as molality: the difference
is under 0.002 pH below 0.1 mol/L), temperature degC. The charge balance is solved with the ionic strength iterated.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from rules.tables.load import Cite, cite
from rules.tables.pka import Constant, System

R = 8.314_462_618e-3  # kJ/(mol K), CODATA
STANDARD_K = 298.15
ZERO_K = 273.15
MOST_ROUNDS = 60
#: The search for a pH halves down to this width, then goes on to this difference (pH, or eq/L of charge).
COARSE, FINE = 0.2, 1e-10
#: Above this ionic strength the Davies equation is no longer trusted, mol/L (C. W. Davies, Ion Association, 1962).
MOST_IONIC_STRENGTH = 0.5
WATER_CITE = cite("minteq-v4", "H2O = OH- + H+, log_k -13.997, delta_h 55.81 kJ")
WATER = Constant("water", 1, 13.997, 55.81, None, 0.0, False, WATER_CITE)


@dataclass(frozen=True, slots=True)
class Weak:
    """One buffer in the solution: total mol/L, charge of its most protonated form held, and its pKa at the temperature."""

    mol_L: float
    charge: int
    pkas: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Balance:
    """The solution at one pH: charge the inert ions must bring (eq/L) and the ionic strength (mol/L)."""

    charge: float
    ionic_strength: float


@lru_cache(maxsize=256)
def debye_a(temperature_degC: float) -> float:
    """The Debye-Hueckel slope A, (kg/mol)^0.5, decadic: 0.510 at 25 degC.

    1.8248e6 (rho)^0.5 (eps T)^-1.5, the relative permittivity of water after Malmberg and Maryott,
    J. Res. NBS 56 (1956) 1: 87.740 - 0.40008 t + 9.398e-4 t^2 - 1.410e-6 t^3, from 0 to 100 degC.
    """
    t = temperature_degC
    permittivity = 87.740 - 0.40008 * t + 9.398e-4 * t**2 - 1.410e-6 * t**3
    return 1.8248e6 / math.pow(permittivity * (t + ZERO_K), 1.5)


def davies(ionic_strength: float, temperature_degC: float) -> float:
    """Minus the decadic logarithm of the activity coefficient of an ion of charge one (Davies 1962, 0.3 I).

    Above 1 mol/L, beyond anything the equation says, the value there is kept.
    """
    bounded = min(ionic_strength, 1.0)
    root = math.sqrt(bounded)
    return debye_a(temperature_degC) * (root / (1 + root) - 0.3 * bounded)


def pka_at(constant: Constant, temperature_degC: float, acid_charge: int) -> float:
    """The thermodynamic pKa at a temperature: van't Hoff with a constant enthalpy, else the slope, else as at 25 degC.

    A conditional constant is brought to ionic strength 0 with the Davies equation, ``acid_charge`` being that of the
    acid form of the step.
    """
    value = constant.pka_25 - davies(constant.ionic_strength, 25.0) * (2 * acid_charge - 1)
    if constant.dH_kJ_per_mol is not None:
        inverse = 1 / (temperature_degC + ZERO_K) - 1 / STANDARD_K
        return value + constant.dH_kJ_per_mol / (R * math.log(10)) * inverse
    return value + (constant.dpka_dT_per_K or 0.0) * (temperature_degC - 25.0)


def pkas_at(system: System, temperature_degC: float) -> tuple[float, ...]:
    """Every step of the system, thermodynamic, at a temperature."""
    return tuple(pka_at(constant, temperature_degC, system.charge - n) for n, constant in enumerate(system.constants))


def weak(system: System, mol_L: float, temperature_degC: float) -> Weak:
    """``mol_L`` of the system at a temperature."""
    return Weak(mol_L, system.charge, pkas_at(system, temperature_degC))


def working_pka(pka: float, acid_charge: int, ionic_strength: float, temperature_degC: float) -> float:
    """The pKa that relates pH to the ratio of concentrations at that ionic strength."""
    return pka + davies(ionic_strength, temperature_degC) * (2 * acid_charge - 1)


def _charge_and_squares(parts: Sequence[Weak], ph: float, kw: float, lowering: float) -> tuple[float, float]:
    """What the protons, hydroxide and buffers lack in positive charge (eq/L), and the sum of c z squared over all of them.

    ``lowering`` is the Davies term. Every form of a buffer stands to the first as ten to the sum of (pH - pKa') so far.
    """
    h, oh = 10 ** (-ph + lowering), 10 ** (ph - kw + lowering)
    charge, squares = oh - h, h + oh
    for part in parts:
        exponent, exponents = 0.0, [0.0]
        z = part.charge
        for pka in part.pkas:
            exponent += ph - pka - lowering * (2 * z - 1)
            exponents.append(exponent)
            z -= 1
        most = max(exponents)
        weights = [10 ** (e - most) for e in exponents]
        scale = part.mol_L / sum(weights)
        z = part.charge
        for weight in weights:
            charge -= scale * weight * z
            squares += scale * weight * z * z
            z -= 1
    return charge, squares


def balance_at(
    parts: Iterable[Weak],
    ph: float,
    temperature_degC: float,
    supplied: float = 0.0,
    ions: float = 0.0,
    background: float = 0.0,
) -> Balance:
    """The charge inert ions must bring for the pH to be ``ph``, and the ionic strength there.

    ``supplied`` is the charge (eq/L) and ``ions`` the sum (mol/L) of the singly charged inert ions that come with the
    salts; what is still missing is brought by titrant. ``background`` is the ionic strength of dissolved salts that
    take no part. Where nothing is supplied, only as many inert ions as the charge needs are there.
    """
    return _balance_at(tuple(parts), ph, temperature_degC, supplied, ions, background)


@lru_cache(maxsize=256)  # the forms a salt is sold in share one chemistry
def _balance_at(
    parts: tuple[Weak, ...], ph: float, temperature_degC: float, supplied: float, ions: float, background: float
) -> Balance:
    kw = pka_at(WATER, temperature_degC, 0)
    strength, charge = 0.05, 0.0
    for _ in range(MOST_ROUNDS):
        charge, squares = _charge_and_squares(parts, ph, kw, davies(strength, temperature_degC))
        new = background + (squares + ions + abs(charge - supplied)) / 2
        if abs(new - strength) < 1e-9:
            break
        strength = new
    return Balance(charge, strength)


def ph_of(
    parts: Iterable[Weak], charge: float, temperature_degC: float, ions: float | None = None, background: float = 0.0
) -> float:
    """The pH of a solution whose inert ions bring ``charge`` (eq/L): the root of the charge balance between 0 and 14.

    ``ions`` is their sum (mol/L), by default just what the charge needs.
    """
    return _ph_of(tuple(parts), charge, temperature_degC, abs(charge) if ions is None else ions, background)


@lru_cache(maxsize=256)
def _ph_of(parts: tuple[Weak, ...], charge: float, temperature_degC: float, there: float, background: float) -> float:
    kw = pka_at(WATER, temperature_degC, 0)
    strength = background + there / 2

    def missing(ph: float) -> float:
        """The charge that is lacking at a pH; the ionic strength is carried from one trial to the next."""
        nonlocal strength
        found = 0.0
        for _ in range(MOST_ROUNDS):
            found, squares = _charge_and_squares(parts, ph, kw, davies(strength, temperature_degC))
            new = background + (squares + there) / 2
            if abs(new - strength) < 1e-9:
                break
            strength = new
        return found - charge

    low, high = 0.0, 14.0
    below, above = -1.0, 1.0
    while high - low > COARSE:
        middle = (low + high) / 2
        at = missing(middle)
        low, high, below, above = (middle, high, at, above) if at < 0 else (low, middle, below, at)
    # The charge is now nearly straight between the ends: false position, the end that stays halved (Illinois).
    for _ in range(MOST_ROUNDS):
        middle = (low * above - high * below) / (above - below)
        at = missing(middle)
        if abs(at) < FINE or high - low < FINE:
            break
        low, high, below, above = (middle, high, at, above / 2) if at < 0 else (low, middle, below / 2, at)
    return middle


def proton_balance(parts: Sequence[Weak], charge: float, kw: float) -> float:
    """The pH by concentrations alone, as textbooks count it: the root of the charge balance without activities."""
    low, high = -1.0, 15.0
    while high - low > FINE:
        middle = (low + high) / 2
        if _charge_and_squares(parts, middle, kw, 0.0)[0] < charge:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def nearest_step(system: System, ph: float, temperature_degC: float) -> tuple[int, float]:
    """(index, pKa) of the step nearest to the pH."""
    pkas = pkas_at(system, temperature_degC)
    index = min(range(len(pkas)), key=lambda n: abs(pkas[n] - ph))
    return index, pkas[index]


def cites_of(system: System, index: int) -> tuple[Cite, ...]:
    """The source of a step's constant."""
    return (system.constants[index].cite,)
