"""From raw readings to a strength with its uncertainty (EURACHEM/CITAC QUAM:2012, example A2): pure arithmetic."""

from dataclasses import dataclass

from rules.standardising import Titres, gather_runs, moles_of_standard, net_volume, strength
from rules.tables.glassware import Glass
from rules.tables.lab import Balance
from service.planner import uncertainty
from service.records.strength import Doubt
from service.standards.standard import Standard


@dataclass(frozen=True, slots=True)
class Run:
    """One titration: titre in mL, and the mass of standard (g) or the volume of its solution (mL)."""

    titre_mL: float
    mass_g: float | None = None
    volume_mL: float | None = None
    counts: bool = True


@dataclass(frozen=True, slots=True)
class Setting:
    """How the runs were done. ``purity`` and its half-width are fractions; corrections in mL.

    ``swing_K``: how far the laboratory may be from 20 degC; ``method_repeatability``: relative standard deviation of
    the method where it is known from before and the runs are too few to show it.
    """

    balance: Balance
    burette: Glass
    pipette: Glass | None = None
    purity: float = 1.0
    purity_half: float = 0.0
    blank_mL: float = 0.0
    indicator_mL: float = 0.0
    standard_in_burette: bool = False
    swing_K: float = uncertainty.LAB_SWING_K
    method_repeatability: float | None = None


@dataclass(frozen=True, slots=True)
class Outcome:
    """Net titre (mL) and strength (mol/L) of every run, those that count taken together, and the doubts of their mean."""

    net_mL: tuple[float, ...]
    strengths: tuple[float, ...]
    titres: Titres
    doubts: tuple[Doubt, ...]


def titrate(standard: Standard, runs: list[Run], how: Setting) -> Outcome:
    """The strength in mol/L of the solution titrated. Raises ``ValueError`` when no run counts or a titre is all blank."""
    net = tuple(net_volume(run.titre_mL, how.blank_mL, how.indicator_mL) for run in runs)
    each = tuple(_strength(standard, run, titre, how) for run, titre in zip(runs, net, strict=True))
    titres = gather_runs(tuple(value for value, run in zip(each, runs, strict=True) if run.counts))
    counted = [(run, titre) for run, titre in zip(runs, net, strict=True) if run.counts]
    return Outcome(net, each, titres, tuple(d for d in _doubts(standard, counted, titres, how) if d.u_rel > 0))


def _strength(standard: Standard, run: Run, net_mL: float, how: Setting) -> float:
    ratio = standard.row.titrant_per_standard
    if standard.mol_L is None:
        assert run.mass_g is not None and standard.form.molar_mass
        return strength(moles_of_standard(run.mass_g, how.purity, standard.form.molar_mass), ratio, net_mL)
    assert run.volume_mL is not None
    poured, met = (net_mL, run.volume_mL) if how.standard_in_burette else (run.volume_mL, net_mL)
    return strength(standard.mol_L * poured / 1000, ratio, met)


def _doubts(standard: Standard, runs: list[tuple[Run, float]], titres: Titres, how: Setting) -> list[Doubt]:
    count = len(runs)
    scatter = titres.u_repeatability
    if how.method_repeatability is not None:
        scatter = how.method_repeatability / count**0.5
    titre = sum(net for _, net in runs) / count
    found = [
        Doubt("repeatability", f"repeatability of {count} run{'s' if count > 1 else ''}", scatter or 0.0),
        Doubt("burette", f"burette ({how.burette.nominal_mL:g} mL)", uncertainty.vessel(how.burette, titre)),
        Doubt("temperature", "temperature of the laboratory", uncertainty.temperature(how.swing_K)),
    ]
    if standard.mol_L is not None:
        words = f"strength of the {standard.name} solution"
        found.append(Doubt("stock", words, standard.u_rel))
        if how.pipette is not None:
            found.append(
                Doubt("delivery", f"{how.pipette.nominal_mL:g} mL {how.pipette.words}", uncertainty.vessel(how.pipette))
            )
        return found
    mass = sum(run.mass_g or 0.0 for run, _ in runs) / count
    molar, u_molar = standard.form.molar_mass, standard.form.u_molar_mass
    assert molar and u_molar is not None
    return [
        *found,
        Doubt("weighing", f"weighing (balance {how.balance.name.split()[0]}, {how.balance.readability_g:g} g)",
              uncertainty.weighing(how.balance, mass)),
        Doubt("standard", "assay of the standard", uncertainty.rectangular(how.purity_half, how.purity)),
        Doubt("molar mass", f"molar mass of {standard.form.formula}", u_molar / molar),
    ]  # fmt: skip
