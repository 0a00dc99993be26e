"""A typed strength turned into one that is computed with, where only one reading is sane; what was read is said as an assumption."""

from math import isclose

from grammar.units import in_base
from rules.plan import DraftPlan, Ingredient
from rules.tables.equivalents import equivalents
from service.planner.amounts import anhydrous_share, made_density
from service.planner.questions import settled_normality
from service.planner.strength import Strength, computable

#: Up to this difference % w/v and % w/w of a solid are taken as one.
PERCENTS_MEET = 0.03
#: A mass stated beside a percentage fits it within this share.
SAME_MASS = 0.005


def settled_strength(plan: DraftPlan, item: Ingredient, typed: Strength) -> Strength | None:
    """The typed strength in a family that is computed with, saying how it was read; None where it must be asked."""
    quantity = item.component.strength
    assert quantity is not None
    if typed.family == "%":
        if _stated_mass_is_in_volume(plan, item, typed.value):
            plan.assumptions.append(f"{quantity.value} % is taken as % w/v (grams in 100 mL): so it fits the mass stated.")
            return Strength("g/L", typed.value * 1000)
        if plan.total_mL is not None and item.kind == "solid" and _percents_meet(plan, item, typed.value):
            plan.assumptions.append(
                f"{quantity.value} % is taken as % w/v (grams in 100 mL); as % w/w it would be within {PERCENTS_MEET * 100:g} % of that."
            )
            return Strength("g/L", typed.value * 1000)
        if plan.total_mL is not None or item.kind not in ("solid", "concentrated"):
            return None
        plan.assumptions.append(f"{quantity.value} % is taken as % w/w, because the total is a mass.")
        return Strength("w/w", typed.value)
    if typed.family == "eq/L":
        settled = settled_normality(item) or _reaction_of_the_mass(plan, item, typed.value)
        if settled is None:
            return None
        each, reaction = settled
        plan.assumptions.append(
            f"{quantity.value} {quantity.unit} is read with {each} equivalent{'s' if each != 1 else ''} in a mole "
            f"({reaction.replace('-', ' ')}): {typed.value / each:.4g} mol/L."
        )
        return Strength("mol/L", typed.value / each)
    if typed.family in ("m", "times"):
        return None
    if typed.family == "ppm":
        volume_unit = "mg/L" if quantity.unit == "ppm" else "ug/L"
        plan.assumptions.append(
            f"{quantity.value} {quantity.unit} is taken as mass in volume ({quantity.value} {volume_unit}), "
            "as is usual for dilute solutions in water."
        )
    elif typed.family == "volumes":
        plan.assumptions.append(
            f"{quantity.value} vol is read as litres of oxygen from one litre at 0 degC and 101.325 kPa: "
            f"{computable(typed).value:.3f} mol/L."
        )
    return computable(typed)


def _reaction_of_the_mass(plan: DraftPlan, item: Ingredient, normality: float) -> tuple[int, str] | None:
    """ "0.1 N potassium permanganate (3.16 g/L)": the one reaction whose equivalents give the mass stated."""
    mass, molar = item.component.mass, item.form.molar_mass
    if mass is None or plan.total_mL is None or not molar or item.kind != "solid":
        return None
    litres = plan.total_mL / 1000
    rows = [
        row
        for row in equivalents(item.substance.slug)
        if isclose(float(in_base(mass)) * item.purity, normality / row.per_mole * litres * molar, rel_tol=0.01)
    ]
    return (rows[0].per_mole, rows[0].reaction) if len({row.per_mole for row in rows}) == 1 else None


def _stated_mass_is_in_volume(plan: DraftPlan, item: Ingredient, fraction: float) -> bool:
    """ "NaOH (10 %): 10 g in 100 mL": whether the mass beside the percentage is what % w/v gives."""
    mass = item.component.mass
    if mass is None or plan.total_mL is None or item.kind != "solid":
        return False
    return isclose(float(in_base(mass)), fraction * plan.total_mL, rel_tol=SAME_MASS)


def _percents_meet(plan: DraftPlan, item: Ingredient, fraction: float) -> bool:
    """Whether % w/v and % w/w of a solid give nearly the same mass, so that asking would change nothing that matters."""
    density = made_density(item, fraction * anhydrous_share(item), plan.temperature_degC)
    if density is not None:
        return abs(density - 1) <= PERCENTS_MEET
    # Salts raise the density by up to 1 % for each percent, organic solids by less than half of that.
    return fraction <= (PERCENTS_MEET if item.substance.family == "salt" else 5 / 3 * PERCENTS_MEET)
