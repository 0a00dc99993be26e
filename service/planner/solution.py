"""The finished solution: density, mass fraction, molality, temperature rise, and how much could dissolve at all."""

from rules.plan import DraftPlan, Ingredient
from rules.tables.concentrated import density_for, reagents
from rules.tables.density import Density, fraction_from_molarity, solution_density, water_density
from rules.tables.heats import heat_of_solution
from rules.tables.liquids import liquid_density
from rules.tables.solubility import Solubility, solubility

SPECIFIC_HEAT_WATER = 4.18
#: A stock this strong still gives off most of its heat of dilution (common practice, no source).
UNDILUTED_mol_L = 6.0
#: Where no density is fitted: the saturated solution lies between these fractions of ideal mixing (1/rho = 1 - k w).
#: Salts fitted by Laliberte fall between 0.55 and 1.0; organics reach down to 0.2.
RHO_SLOPE_LOW, RHO_SLOPE_HIGH = 0.2, 1.0


def describe(plan: DraftPlan) -> None:
    """Fill ``plan.solution`` and every ingredient's solubility ceiling and heat."""
    for item in plan.ingredients:
        _solubility(plan, item)
        heat = heat_of_solution(item.substance.slug, item.form.label)
        diluted_before = item.kind == "stock" and (item.stock_mol_L or 0) < UNDILUTED_mol_L
        if heat is not None and item.moles is not None and not diluted_before:
            item.heat_kJ = heat.kJ_per_mol * item.moles
    _density(plan)
    _rise(plan)


def _density(plan: DraftPlan) -> None:
    made, item = plan.solution, plan.main
    if item is None:
        return
    mass = item.substance.molar_mass
    molar = _molar(plan, item)
    if len(plan.ingredients) == 1 and mass and molar is not None:
        found = fraction_from_molarity(item.substance.slug, molar, mass, plan.temperature_degC)
        if found is not None:
            fraction, density = found
            made.mass_fraction_pct, made.density, made.density_cite = (
                100 * fraction,
                density.value_g_per_mL,
                density.cite,
            )
            made.molality = 1000 * fraction / mass / (1 - fraction) if fraction < 1 else None
    if made.mass_fraction_pct is None and plan.total_g and item.target_mass_fraction_pct is not None:
        made.mass_fraction_pct = item.target_mass_fraction_pct
        if plan.total_mL:
            made.density = plan.total_g / plan.total_mL
    if made.mass_fraction_pct is None and plan.total_mL:
        _estimate(plan)


def _molar(plan: DraftPlan, item: Ingredient) -> float | None:
    """mol/L as asked; of a liquid measured by volume (% v/v) from its mass, where the pure liquid's density is held."""
    if (
        item.target_mol_L is not None
        or not plan.total_mL
        or not item.substance.molar_mass
        or volume_share(item) is None
    ):
        return item.target_mol_L
    grams = dry_grams(item)
    return grams / item.substance.molar_mass / plan.total_mL * 1000 if grams is not None else None


def volume_share(item: Ingredient) -> float | None:
    """mL of pure liquid in 100 mL of what is poured, where it is counted by volume."""
    pure = item.kind == "liquid" and item.stock_mass_pct is None and item.stock_g_L is None
    return item.stock_volume_pct if item.stock_volume_pct is not None or not pure else 100.0


def _estimate(plan: DraftPlan) -> None:
    """Where no density is fitted, the mass of water the volume holds bounds it; said as assumed, and used for limits only."""
    made = plan.solution
    assert plan.total_mL is not None
    solutes = [dry_grams(i) for i in plan.ingredients]
    known = sum(g for g in solutes if g is not None)
    if None in solutes or known <= 0:
        return
    # Ideal mixing, a dissolved solid taken with density 2: on the safe (higher w/w) side for salts.
    displaced = sum(
        item.volume_mL * share / 100 if item.volume_mL and (share := volume_share(item)) else (grams or 0.0) / 2
        for item, grams in zip(plan.ingredients, solutes, strict=True)
    )
    total = known + max(0.0, plan.total_mL - displaced) * water_density(plan.temperature_degC)
    main = solutes[0]
    assert main is not None
    made.mass_fraction_pct = 100 * main / total
    made.density = total / plan.total_mL
    made.density_assumed = True


def dry_grams(item: Ingredient) -> float | None:
    """Grams of solute without water of crystallisation in the whole preparation; None where it cannot be known."""
    mass = item.substance.molar_mass
    if item.moles is not None and mass:
        return item.moles * mass
    if item.solute_mass_g is not None:
        return item.solute_mass_g
    share = volume_share(item)
    if item.volume_mL is not None and share is not None:
        pure = (
            density_for(item.substance.slug, 100.0)
            or _bottled(item.substance.slug)
            or liquid_density(item.substance.slug)
        )
        return item.volume_mL * share / 100 * pure.value_g_per_mL if pure else None
    if item.volume_mL is not None and item.stock_g_L is not None:
        return item.volume_mL * item.stock_g_L / 1000
    return None


def _bottled(slug: str) -> Density | None:
    """Density of the strongest bottle sold, where it is nearly the pure liquid."""
    strongest = max(reagents(slug), key=lambda r: r.mass_percent, default=None)
    return Density(strongest.density_g_per_mL, strongest.cite) if strongest and strongest.mass_percent >= 95 else None


def _rise(plan: DraftPlan) -> None:
    """Adiabatic rise: all the heat stays in the solution, whose heat capacity is taken as water's (an upper estimate)."""
    heats = [i.heat_kJ for i in plan.ingredients if i.heat_kJ is not None]
    total = plan.total_g or (plan.total_mL or 0) * (plan.solution.density or 1.0)
    if heats and total:
        plan.solution.temperature_rise = -sum(heats) * 1000 / (total * SPECIFIC_HEAT_WATER)


def _solubility(plan: DraftPlan, item: Ingredient) -> None:
    found = solubility(item.substance.slug, plan.temperature_degC)
    item.solubility = found
    if not isinstance(found, Solubility):
        return
    mass = item.substance.molar_mass
    per_100 = found.g_anhydrous_per_100g_water
    fraction = per_100 / (100 + per_100)
    low, high = saturated_density(item.substance.slug, fraction, plan.temperature_degC)
    item.ceiling_g_L = fraction * high * 1000
    item.ceiling_low_g_L = fraction * low * 1000
    if mass:
        item.ceiling_mol_L = item.ceiling_low_g_L / mass


def saturated_density(slug: str, fraction: float, temperature_degC: float) -> tuple[float, float]:
    """Lowest and highest density (g/mL) the saturated solution can have; equal where the fitted model reaches it."""
    fitted = solution_density(slug, fraction, temperature_degC)
    if fitted is not None:
        return fitted.value_g_per_mL, fitted.value_g_per_mL
    water = water_density(temperature_degC)
    return water / (1 - RHO_SLOPE_LOW * fraction), min(water / (1 - RHO_SLOPE_HIGH * fraction), 4.0)
