"""The pH of what was worked out: how much acid or alkali sets it, what holds it, and how it moves.

Every ingredient that gives or takes protons counts, whether a buffer was named or not (a recipe, a weak acid, EDTA).
"""

from rules.blends import PhSetting
from rules.buffer import Weak, balance_at, nearest_step, ph_of, pkas_at, weak, working_pka
from rules.plan import Amount, DraftPlan, Ingredient, Measure
from rules.tables.pka import System, system_of
from service.planner.acidity import ionic_strength_of
from service.planner.buffers import capacity_rank, other_way, working_temperature
from service.planner.figures import show
from service.planner.solution import dry_grams

#: Charge of the inert ion that one mole of a strong acid or base brings.
_STRONG = {
    "hydrochloric-acid": -1,
    "nitric-acid": -1,
    "perchloric-acid": -1,
    "sodium-hydroxide": 1,
    "potassium-hydroxide": 1,
}
#: Substances and families that neither ionise near neutral nor change the ionic strength.
_NEUTRAL_ORGANICS = frozenset({"glycerol", "urea", "dithiothreitol", "2-mercaptoethanol"})
_NEUTRAL = frozenset({"sugar", "solvent", "polymer", "surfactant", "indicator"})
COLD_degC = 4.0
DILUTION = 10.0
#: Less titrant than this share of the buffer is not worth a bottle: the meter decides.
LEAST_TITRANT = 0.002
#: Strengths of acid and alkali kept for setting a pH (common practice, no source), the weakest taken that leaves room.
TITRANTS = {"hydrochloric acid": (1.0, 5.0, 12.0), "sodium hydroxide": (1.0, 5.0, 10.0)}
#: The titrant is at most this share of the volume.
MOST_TITRANT = 0.1


class _Sum:
    """Everything in one litre that bears on the pH."""

    def __init__(self) -> None:
        self.systems: list[tuple[System, float]] = []
        self.charge = self.ions = self.background = 0.0
        self.unknown: list[str] = []

    def weaks(self, temperature: float, share: float = 1.0) -> list[Weak]:
        """The buffers at a temperature, diluted to ``share``."""
        return [weak(system, mol_L * share, temperature) for system, mol_L in self.systems]


def set_ph(plan: DraftPlan) -> None:
    """Fill ``plan.ph_setting`` and add the titrant to what is measured. Needs settled amounts; does nothing without a pH."""
    request = plan.request
    assert request.kind == "prepare"
    if request.ph is None or plan.total_mL is None:
        return
    found = _sum(plan)
    if not found.systems:
        return
    ph, temperature = float(request.ph), working_temperature(request)
    if request.temperature is None:
        plan.assumptions.append(f"No temperature was given: pH {request.ph} is meant at {temperature:g} degC.")
    for item in plan.ingredients:
        if item.kind == "stock" and system_of(item.substance.slug) is not None:
            plan.assumptions.append(
                f"The {item.substance.name} stock is taken as dissolved without its pH set; if it was set, less acid or alkali is needed."
            )
    at = balance_at(found.weaks(temperature), ph, temperature, found.charge, found.ions, found.background)
    missing = at.charge - found.charge
    system, total = max(found.systems, key=lambda row: capacity_rank(row[0], row[1], ph, temperature))
    index, pka = nearest_step(system, ph, temperature)
    total_ions = found.ions + abs(missing)

    def made(t: float, share: float = 1.0) -> float:
        return ph_of(found.weaks(t, share), at.charge * share, t, total_ions * share, found.background * share)

    before = ph_of(found.weaks(temperature), found.charge, temperature, found.ions, found.background)
    unneeded = abs(missing) < LEAST_TITRANT * total
    alone = len(found.systems) == 1 and not found.unknown
    plan.ph_setting = PhSetting(
        system.key, ph, str(request.ph), temperature, request.temperature is not None, pka,
        working_pka(pka, system.charge - index, at.ionic_strength, temperature), at.ionic_strength, total,
        "" if unneeded else "sodium hydroxide" if missing > 0 else "hydrochloric acid", abs(missing), before,
        made(temperature, 1 / DILUTION), (made(temperature + 0.5) - made(temperature - 0.5)), made(COLD_degC),
        (system.constants[index].cite,), _highest_charge(found, ph, temperature), tuple(found.unknown),
        other_way(system, total, ph, temperature, plan.computed_strengths) if alone and not plan.recipe else "",
    )  # fmt: skip


def _highest_charge(found: _Sum, ph: float, temperature: float) -> int:
    """The highest charge among the forms within 1.5 of their pKa or beyond it at this pH; 1 where there is none."""
    highest = 1
    for system, _ in found.systems:
        for n, pka in enumerate(pkas_at(system, temperature)):
            if ph > pka - 1.5:
                highest = max(highest, abs(system.charge - n - 1))
    return highest


def _sum(plan: DraftPlan) -> _Sum:
    found = _Sum()
    for item in plan.ingredients:
        mol_L = molarity_made(plan, item)
        slug = item.substance.slug
        part = system_of(slug)
        if mol_L is None:
            if _bears_on_ph(item):
                found.unknown.append(item.substance.name)
        elif part is not None:
            system, salt = part
            _add(found, system, mol_L * salt.units)
            found.charge += salt.charge * mol_L
            found.ions += abs(salt.charge) * mol_L
        elif slug in _STRONG:
            found.charge += _STRONG[slug] * mol_L
            found.ions += mol_L
        elif (strength := ionic_strength_of(item.substance.formula)) is not None:
            found.background += strength * mol_L
        elif _bears_on_ph(item):
            found.unknown.append(item.substance.name)
    return found


def _add(found: _Sum, system: System, mol_L: float) -> None:
    for n, (held, before) in enumerate(found.systems):
        if held is system:
            found.systems[n] = (system, before + mol_L)
            return
    found.systems.append((system, mol_L))


def _bears_on_ph(item: Ingredient) -> bool:
    return item.substance.family not in _NEUTRAL and item.substance.slug not in _NEUTRAL_ORGANICS


def molarity_made(plan: DraftPlan, item: Ingredient) -> float | None:
    if item.target_mol_L is not None:
        return item.target_mol_L
    grams, mass = dry_grams(item), item.substance.molar_mass
    return grams / mass / (plan.total_mL / 1000) if grams is not None and mass and plan.total_mL else None


def titrant_measure(plan: DraftPlan) -> Measure | None:
    """About how much acid or alkali goes in, at a strength that leaves room for it; None where none does."""
    setting = plan.ph_setting
    if setting is None or not setting.titrant or plan.total_mL is None:
        return None
    moles = setting.titrant_mol_L * plan.total_mL / 1000
    strengths = TITRANTS[setting.titrant]
    strength = next((s for s in strengths if moles / s * 1000 <= MOST_TITRANT * plan.total_mL), strengths[-1])
    volume = moles / strength * 1000
    what = f"{strength:g} mol/L {setting.titrant}, until the meter reads pH {setting.ph_typed}"
    return Measure(what, "component", Amount(volume, "mL", f"about {show(volume, 'mL', 2)}"))
