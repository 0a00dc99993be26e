"""How much solute the finished solution holds, from the strength and the total.

Floats with fixed units (g, mL, mol, mol/L, g/L); the typed digits are handled in ``figures``. Where a density is
needed and none is held, the answer is a question: water's density is never taken silently.
"""

from grammar.request import Misread, Prepare, Quantity
from rules.plan import DraftPlan, Ingredient, Open
from rules.tables.concentrated import density_for
from rules.tables.density import solution_density, water_density
from service.planner.strength import Strength

Stop = Open | Misread | None


def set_target(plan: DraftPlan, item: Ingredient, strength: Strength) -> Stop:
    """Fill ``item`` with moles, mass of the counted form and every other way to say its strength; or say what stops it."""
    if strength.family in ("mol/L", "mol/kg") and not item.counted.molar_mass:
        return Misread(
            "no-molar-mass",
            f"{item.substance.name} has no single formula here, so it has no molarity.",
            "Ask for a mass in a volume instead, for example '1 % w/v'.",
        )
    if strength.family in ("mol/L", "g/L", "v/v") and plan.total_mL is None:
        return Open(
            "total",
            f"How much is wanted? {_typed(item)} counts in a volume, so the final volume is needed.",
            remedy="Add a volume, for example '250 mL'.",
        )
    if strength.family in ("w/w", "v/v") and strength.value > 1:
        return Misread(
            "over-hundred-percent",
            f"{_typed(item)} is more than the whole: nothing is stronger than 100 %.",
            "Check the decimal point; the most there can be is the pure substance.",
        )
    stop = _FILL[strength.family](plan, item, strength.value * _basis_factor(item, strength.family))
    if stop is None:
        _say_other_ways(plan, item)
    return stop


def _basis_factor(item: Ingredient, family: str) -> float:
    """Turns a mass fraction or molality that counts an element or ion into that of the substance; 1 where it counts itself.

    The other families take the basis into account where they are filled.
    """
    if not item.basis_g_per_mol or not item.counted.molar_mass:
        return 1.0
    if family == "w/w":
        return item.counted.molar_mass / item.basis_g_per_mol
    return 1 / item.basis_per_mole if family == "mol/kg" else 1.0


def _typed(item: Ingredient) -> str:
    quantity = item.component.strength
    return f"{quantity.value} {quantity.unit}" if quantity else "the strength"


def _molar(plan: DraftPlan, item: Ingredient, value: float) -> Stop:
    assert plan.total_mL is not None
    item.target_mol_L = value / item.basis_per_mole
    item.moles = item.target_mol_L * plan.total_mL / 1000
    return None


def _mass_in_volume(plan: DraftPlan, item: Ingredient, value: float) -> Stop:
    assert plan.total_mL is not None
    basis = value * plan.total_mL / 1000
    if item.basis_g_per_mol:
        item.moles = basis / item.basis_g_per_mol
    elif item.counted.molar_mass:
        item.moles = basis / item.counted.molar_mass
    else:
        item.solute_mass_g = basis
        item.target_g_L = value
    return None


def _mass_fraction(plan: DraftPlan, item: Ingredient, value: float) -> Stop:
    """``value`` grams of the counted form in one gram of solution."""
    if plan.total_g is None:
        assert plan.total_mL is not None
        rho = made_density(item, value * anhydrous_share(item), plan.temperature_degC)
        if rho is None:
            return Open(
                "density",
                f"{_typed(item)} in a volume needs the density of the solution, "
                f"and none is held for {item.substance.name} at this strength.",
                remedy="Ask for a mass of solution instead, for example '250 g', and weigh the water.",
            )
        plan.solution.density = rho
        plan.total_g = rho * plan.total_mL
    item.solute_mass_g = value * plan.total_g
    if item.counted.molar_mass:
        item.moles = item.solute_mass_g / item.counted.molar_mass
    return None


def _molal(plan: DraftPlan, item: Ingredient, value: float) -> Stop:
    """``value`` moles in one kilogram of water; the water of a hydrate counts as water."""
    dry = item.substance.molar_mass or 0.0
    if isinstance(plan.request, Prepare) and plan.request.solvent_volume:
        # What was typed is the water's, so the solution weighs more than it.
        water = (
            plan.total_g if plan.total_g is not None else (plan.total_mL or 0.0) * water_density(plan.temperature_degC)
        )
        plan.total_g = water * (1 + value * dry / 1000)
    return _mass_fraction(plan, item, value * dry / (1000 + value * dry) / anhydrous_share(item))


def _volume_fraction(plan: DraftPlan, item: Ingredient, value: float) -> Stop:
    if item.form.state == "solid":
        return Misread(
            "volume-percent-of-solid",
            f"{item.substance.name} is a solid, so % v/v of it cannot be measured.",
            "Ask for % w/v or % w/w.",
        )
    assert plan.total_mL is not None
    item.volume_mL = value * plan.total_mL
    return None


_FILL = {"mol/L": _molar, "g/L": _mass_in_volume, "w/w": _mass_fraction, "mol/kg": _molal, "v/v": _volume_fraction}


def made_density(item: Ingredient, anhydrous_fraction: float, temperature_degC: float) -> float | None:
    """Density of the solution in g/mL from the fitted model, else from the reagent table; None where neither holds it."""
    fitted = solution_density(item.substance.slug, anhydrous_fraction, temperature_degC)
    known = fitted or density_for(item.substance.slug, 100 * anhydrous_fraction)
    return known.value_g_per_mL if known else None


def anhydrous_share(item: Ingredient) -> float:
    """Grams of anhydrous solute in one gram of the counted form (1 where there is no formula)."""
    dry, counted = item.substance.molar_mass, item.counted.molar_mass
    return dry / counted if dry and counted else 1.0


def _say_other_ways(plan: DraftPlan, item: Ingredient) -> None:
    litres = plan.total_mL / 1000 if plan.total_mL else None
    if item.moles is not None and item.counted.molar_mass:
        item.solute_mass_g = item.moles * item.counted.molar_mass
        if litres:
            item.target_mol_L = item.moles / litres if item.target_mol_L is None else item.target_mol_L
            item.target_g_L = item.solute_mass_g / litres
    if plan.total_g and item.solute_mass_g is not None:
        item.target_mass_fraction_pct = 100 * item.solute_mass_g * anhydrous_share(item) / plan.total_g


def density_typed(quantity: Quantity | None) -> float | None:
    """A density somebody typed, g/mL."""
    if quantity is None:
        return None
    return float(quantity.value) / (1000 if quantity.unit == "kg/m3" else 1)
