"""The strength really made: what went in against what the plan measures, and how well it is known.

Strength is in proportion to what goes in and inverse to what it is made up to, so every unit a strength was asked in is
served by one ratio. Where that does not hold (percent by mass made up to a volume) the strength is given per litre.
"""

import math
from dataclasses import dataclass

from grammar.request import Prepare
from rules.plan import Amount, Budget, DraftPlan, Ingredient
from rules.tables.density import water_density
from rules.tables.expansion import glass_expansion
from rules.tables.glassware import Glass
from rules.tables.lab import Lab
from service.planner import uncertainty
from service.planner.figures import round_figures, show, tolerance
from service.planner.finish import assay_line, dilution_lines, reagent_line
from service.planner.pouring import pour
from service.planner.vessels import vessel_words
from service.records.used import Used, stock_strength

THERMOMETER_K = 0.5  # half-width of a reading of an ordinary thermometer (common practice, no source)
_BY_MASS = ("% w/w", "mol/kg", "mmol/kg", "ppm", "ppb")


@dataclass(frozen=True, slots=True)
class Doubt:
    """One cause of doubt: its kind (which cure helps), in words, and the relative standard uncertainty."""

    kind: str
    words: str
    u_rel: float


@dataclass(frozen=True, slots=True)
class Filling:
    """One vessel and how far it was filled, mL."""

    glass: Glass
    volume_mL: float


@dataclass(frozen=True, slots=True)
class Strength:
    """The strength of one component: made and nominal in the same unit; ``ratio`` is made over nominal."""

    item: Ingredient
    made: Amount
    nominal: Amount
    ratio: float
    doubts: tuple[Doubt, ...]

    @property
    def budget(self) -> Budget:
        """The doubts combined."""
        return uncertainty.combine((d.words, d.u_rel) for d in self.doubts)


def strengths(
    plan: DraftPlan, lab: Lab, used: list[Used], fillings: list[Filling], temperature_degC: float | None
) -> list[Strength]:
    """The strength of each component that can be worked out, in the order of the plan."""
    total, shared = _total(plan, used, fillings, temperature_degC)
    found = []
    for item in plan.ingredients:
        portions = [u for u in used if u.measure.ingredient is item]
        nominal = nominal_strength(plan, item)
        if not portions or nominal is None or total is None:
            continue
        ratio = sum(_active(u) for u in portions) / _planned(portions[0]) * total
        doubts = (*_doubts(lab, item, portions), *shared)
        found.append(Strength(item, shown(item, plan, nominal.value * ratio, nominal.unit, ratio), nominal, ratio,
                              tuple(d for d in doubts if d.u_rel > 0)))  # fmt: skip
    return found


def shown(item: Ingredient, plan: DraftPlan, value: float, unit: str, ratio: float) -> Amount:
    """A strength in the fixed unit, displayed in the unit that was asked for where that is in proportion."""
    typed = item.component.strength
    if typed is None or plan.computed_strengths or (not plan.solvent_by_mass and typed.unit in _BY_MASS):
        return Amount(value, unit, show(value, unit, 4))
    figures = max(4, typed.figures)
    return Amount(value, unit, f"{round_figures(float(typed.value) * ratio, figures)} {typed.unit}")


def nominal_strength(plan: DraftPlan, item: Ingredient) -> Amount | None:
    """The strength planned, in mol/L, g/L or % by mass, displayed as it was asked; None where it is not in proportion."""
    typed = item.component.strength
    by_mass = plan.solvent_by_mass and item.target_mass_fraction_pct is not None
    for value, unit in (
        (item.target_mass_fraction_pct if by_mass and typed and typed.unit == "% w/w" else None, "%"),
        (item.target_mol_L, "mol/L"),
        (item.target_g_L, "g/L"),
    ):
        if value is not None and (unit == "%" or not plan.solvent_by_mass):
            asked = typed is not None and not plan.computed_strengths and (unit == "%" or typed.unit not in _BY_MASS)
            words = f"{typed.value} {typed.unit}" if typed is not None and asked else show(value, unit)
            return Amount(value, unit, words)
    if typed is not None and not plan.solvent_by_mass and not plan.computed_strengths and typed.unit not in _BY_MASS:
        return Amount(float(typed.value), typed.unit, f"{typed.value} {typed.unit}")
    return None


def _total(
    plan: DraftPlan, used: list[Used], fillings: list[Filling], temperature_degC: float | None
) -> tuple[float | None, tuple[Doubt, ...]]:
    """What the ratio is multiplied by for the amount it was made up to, and the doubts all components share."""
    if plan.solvent_by_mass and plan.total_g:
        numbers = {u.number for u in used}
        really = sum(u.amount if u.unit == "g" else u.amount * (u.density or 1.0) for u in used)
        really += sum(
            m.amount.value for n, m in enumerate(plan.measures, 1) if n not in numbers and m.amount.unit == "g"
        )
        return plan.total_g / really, ()
    if not plan.total_mL or not fillings:
        return None, ()
    volume = sum(f.volume_mL for f in fillings)
    factor, away = _at_twenty(plan, temperature_degC)
    spread = math.sqrt(sum((uncertainty.vessel(f.glass, f.volume_mL) * f.volume_mL) ** 2 for f in fillings)) / volume
    level = math.sqrt(sum((uncertainty.meniscus(f.volume_mL) * f.volume_mL) ** 2 for f in fillings)) / volume
    kinds = list(dict.fromkeys(vessel_words(f.glass) for f in fillings))
    doubts = [
        *(Doubt("vessel", words, u) for words, u in dilution_lines(plan)),
        Doubt("vessel", " and ".join(kinds), spread),
        Doubt("meniscus", "setting the meniscus", level),
        away,
    ]
    return plan.total_mL / volume * factor, tuple(doubts)


def _at_twenty(plan: DraftPlan, temperature_degC: float | None) -> tuple[float, Doubt]:
    """How much stronger the solution is at 20 degC than where it was made up to the mark, water and glass moving apart."""
    if temperature_degC is None or not _in_water(plan):
        return 1.0, Doubt("temperature", "temperature of the laboratory", uncertainty.temperature())
    per_K, _ = glass_expansion()
    factor = water_density(20.0) / water_density(temperature_degC) / (1 + per_K * (temperature_degC - 20.0))
    u = uncertainty.temperature(THERMOMETER_K)
    return factor, Doubt("temperature", f"temperature, read as {temperature_degC:g} degC", u)


def _in_water(plan: DraftPlan) -> bool:
    solvent = plan.request.solvent if isinstance(plan.request, Prepare) else None
    return not solvent or "water" in solvent


def _active(portion: Used) -> float:
    """What counts of a portion, on the scale of ``_planned``: grams of substance, or mL times strength."""
    item, amount = portion.measure.ingredient, portion.in_plan_unit
    assert item is not None
    if portion.source is not None:
        return amount * portion.source.value
    if item.kind == "stock":
        return amount
    purity = item.purity if portion.purity is None else portion.purity
    if item.kind != "concentrated":
        return amount * purity
    if portion.purity is None and portion.density is item.stock_density:
        return amount
    assert item.stock_mass_pct and item.stock_density and portion.density
    share = item.stock_mass_pct / 100 if portion.purity is None else portion.purity
    return amount * (share * portion.density) / (item.stock_mass_pct / 100 * item.stock_density)


def _planned(portion: Used) -> float:
    item, planned = portion.measure.ingredient, portion.measure.amount.value
    assert item is not None
    if portion.source is not None:
        strength = stock_strength(portion.measure, portion.source.unit)
        assert strength
        return planned * strength
    return planned if item.kind in ("stock", "concentrated") else planned * item.purity


def _doubts(lab: Lab, item: Ingredient, portions: list[Used]) -> list[Doubt]:
    """Of the amount and of what is in it; portions of several lots count by their share."""
    whole = sum(_active(p) for p in portions)
    found: list[Doubt] = []
    spread: dict[tuple[str, str], float] = {}
    for portion in portions:
        share = _active(portion) / whole
        for doubt in (_measured(lab, portion), *_content(item, portion)):
            key = (doubt.kind, doubt.words)
            spread[key] = math.hypot(spread.get(key, 0.0), share * doubt.u_rel)
    found += [Doubt(kind, words, u) for (kind, words), u in spread.items()]
    mass, u_mass = item.form.molar_mass, item.form.u_molar_mass
    if item.kind not in ("stock", "concentrated") and mass and u_mass and item.target_mol_L is not None:
        found.append(Doubt("molar mass", "molar mass", u_mass / mass))
    return found


def _measured(lab: Lab, portion: Used) -> Doubt:
    if portion.balance is not None:
        balance = portion.balance
        each = math.sqrt(sum((uncertainty.weighing(balance, r) * r) ** 2 for r in portion.readings))
        times = f", {len(portion.readings)} weighings" if len(portion.readings) > 1 else ""
        return Doubt("weighing", f"weighing (balance {balance.name.split()[0]}, {balance.readability_g:g} g{times})",
                     each / portion.amount)  # fmt: skip
    if portion.ware is not None:
        ware = portion.ware
        each = math.sqrt(sum((uncertainty.vessel(ware, r) * r) ** 2 for r in portion.readings)) / portion.amount
        return Doubt("delivery", f"delivery ({ware.nominal_mL:g} mL {ware.words})", each)
    poured = [(r, pour(lab, r)) for r in portion.readings]
    each = math.sqrt(sum(((p.u_rel if p else 0.05) * r) ** 2 for r, p in poured)) / portion.amount
    words = " and ".join(dict.fromkeys(p.words if p else "by eye" for _, p in poured))
    return Doubt("delivery", f"delivery ({words}, as planned)", each)


def _content(item: Ingredient, portion: Used) -> list[Doubt]:
    if portion.source is not None:
        return [Doubt("stock", f"strength of {portion.source.name}, {portion.source.id}", portion.source.u_rel)]
    if portion.purity is not None:
        u = uncertainty.rectangular(portion.purity_half, portion.purity)
        return [
            Doubt(
                "certificate",
                f"assay of the certificate ({100 * portion.purity:g} +/- {100 * portion.purity_half:g} %)",
                u,
            )
        ]
    if item.kind in ("stock", "concentrated"):
        return [Doubt("stock", words, u) for words, u in reagent_line(item)]
    return [Doubt("assay", words, u) for words, u in assay_line(item)]


def room(plan: DraftPlan, item: Ingredient) -> tuple[float, str] | None:
    """How far, relatively, the strength may be off before the figures asked for no longer hold, and why."""
    typed = item.component.strength
    if typed is None or plan.computed_strengths or not isinstance(plan.request, Prepare):
        return None
    if typed.unit in _BY_MASS and not plan.solvent_by_mass:
        return None  # by mass but made up to a volume: not in proportion
    return tolerance(typed, plan.request.purpose, plan.policy.house)
