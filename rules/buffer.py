"""The chemistry of buffers: pH from composition and composition for a pH, with Davies activities.

pH is minus the logarithm of the hydrogen ion's activity. Every concentration is mol/L (taken as molality: the difference
is under 0.002 pH below 0.1 mol/L), temperature degC. The charge balance is solved with the ionic strength iterated.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from rules.tables.load import Cite, cite
from rules.tables.pka import Constant, System

R = 8.314_462_618e-3  # kJ/(mol K), CODATA
STANDARD_K = 298.15
ZERO_K = 273.15
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


def debye_a(temperature_degC: float) -> float:
    """The Debye-Hueckel slope A, (kg/mol)^0.5, decadic: 0.510 at 25 degC.

    1.8248e6 (rho)^0.5 (eps T)^-1.5, the relative permittivity of water after Malmberg and Maryott,
    J. Res. NBS 56 (1956) 1: 87.740 - 0.40008 t + 9.398e-4 t^2 - 1.410e-6 t^3, from 0 to 100 degC.
    """
    t = temperature_degC
    permittivity = 87.740 - 0.40008 * t + 9.398e-4 * t**2 - 1.410e-6 * t**3
    return 1.8248e6 / math.pow(permittivity * (t + ZERO_K), 1.5)


def davies(ionic_strength: float, temperature_degC: float) -> float:
    """Minus the decadic logarithm of the activity coefficient of an ion of charge one (Davies 1962, 0.3 I)."""
    root = math.sqrt(ionic_strength)
    return debye_a(temperature_degC) * (root / (1 + root) - 0.3 * ionic_strength)


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
    return tuple(
        pka_at(constant, temperature_degC, system.charge - n) for n, constant in enumerate(system.constants)
    )


def weak(system: System, mol_L: float, temperature_degC: float) -> Weak:
    """``mol_L`` of the system at a temperature."""
    return Weak(mol_L, system.charge, pkas_at(system, temperature_degC))


def working_pka(pka: float, acid_charge: int, ionic_strength: float, temperature_degC: float) -> float:
    """The pKa that relates pH to the ratio of concentrations at that ionic strength."""
    return pka + davies(ionic_strength, temperature_degC) * (2 * acid_charge - 1)


def _shares(part: Weak, ph: float, lowering: float) -> list[tuple[int, float]]:
    """(charge, share) of every form of one buffer at a pH; ``lowering`` is the Davies term."""
    exponents, total = [0.0], 0.0
    for n, pka in enumerate(part.pkas):
        total += ph - pka - lowering * (2 * (part.charge - n) - 1)
        exponents.append(total)
    most = max(exponents)
    weights = [10 ** (e - most) for e in exponents]
    return [(part.charge - n, w / sum(weights)) for n, w in enumerate(weights)]


def balance_at(
    parts: Sequence[Weak], ph: float, temperature_degC: float, supplied: float = 0.0, ions: float = 0.0, background: float = 0.0
) -> Balance:
    """The charge inert ions must bring for the pH to be ``ph``, and the ionic strength there.

    ``supplied`` is the charge (eq/L) and ``ions`` the sum (mol/L) of the singly charged inert ions that come with the
    salts; what is still missing is brought by titrant. ``background`` is the ionic strength of dissolved salts that
    take no part. Where nothing is supplied, only as many inert ions as the charge needs are there.
    """
    strength, charge = 0.05, 0.0
    for _ in range(60):
        lowering = davies(strength, temperature_degC)
        kw = pka_at(WATER, temperature_degC, 0)
        h, oh = 10 ** (-ph + lowering), 10 ** (ph - kw + lowering)
        charge, squares = -(h - oh), h + oh
        for part in parts:
            for z, share in _shares(part, ph, lowering):
                charge -= part.mol_L * z * share
                squares += part.mol_L * z * z * share
        new = background + (squares + ions + abs(charge - supplied)) / 2
        if abs(new - strength) < 1e-10:
            break
        strength = new
    return Balance(charge, strength)


def ph_of(parts: Sequence[Weak], charge: float, temperature_degC: float, ions: float | None = None, background: float = 0.0) -> float:
    """The pH of a solution whose inert ions bring ``charge`` (eq/L): the root of the charge balance between -1 and 15.

    ``ions`` is their sum (mol/L), by default just what the charge needs.
    """
    there = abs(charge) if ions is None else ions
    low, high = -1.0, 15.0
    for _ in range(60):
        middle = (low + high) / 2
        found = _charge_with(parts, middle, temperature_degC, there, background)
        low, high = (middle, high) if found < charge else (low, middle)
    return (low + high) / 2


def _charge_with(parts: Sequence[Weak], ph: float, temperature_degC: float, ions: float, background: float) -> float:
    """The charge needed at a pH where the inert ions are just those present."""
    strength, charge = 0.05, 0.0
    kw = pka_at(WATER, temperature_degC, 0)
    for _ in range(40):
        lowering = davies(min(strength, 2.0), temperature_degC)
        h, oh = 10 ** (-ph + lowering), 10 ** (ph - kw + lowering)
        charge, squares = oh - h, h + oh
        for part in parts:
            for z, share in _shares(part, ph, lowering):
                charge -= part.mol_L * z * share
                squares += part.mol_L * z * z * share
        new = background + (squares + ions) / 2
        if abs(new - strength) < 1e-9:
            break
        strength = new
    return charge


def nearest_step(system: System, ph: float, temperature_degC: float) -> tuple[int, float]:
    """(index, pKa) of the step nearest to the pH."""
    pkas = pkas_at(system, temperature_degC)
    index = min(range(len(pkas)), key=lambda n: abs(pkas[n] - ph))
    return index, pkas[index]


def cites_of(system: System, index: int) -> tuple[Cite, ...]:
    """The source of a step's constant."""
    return (system.constants[index].cite,)
