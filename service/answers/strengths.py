"""One strength in every other term: mol/L, g/L, percent by mass, mol/kg, normality, parts per million.

Percent by mass and molality need the density of the solution: the one that was typed, else the fitted one or that of
the reagent table (and the answer says so), else the question is handed back. Water's density is never taken silently.
"""

from dataclasses import dataclass, field

from grammar.asking_words import UNNAMED
from grammar.request import Component, Misread, Quantity
from grammar.units import UNITS
from rules.plan import Ingredient, Open
from rules.tables.concentrated import density_for
from rules.tables.density import fraction_from_molarity, solution_density
from rules.tables.equivalents import equivalents
from rules.tables.load import Cite
from service.planner.amounts import anhydrous_share, density_typed
from service.planner.basis import basis_formula, grams_of_basis
from service.planner.questions import settled_normality
from service.planner.strength import Strength, computable

Stop = Open | Misread
#: From here up a bare percentage of an acid or of ammonia is read as on its bottle, by mass; below, it may be w/v.
LEAST_BOTTLE_PCT = 20


@dataclass(slots=True)
class Known:
    """A solution of one solute: mol/L of it, grams of the counted form in a litre, and the density when it is known."""

    mol_L: float | None = None
    g_L: float | None = None
    density: float | None = None
    working: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    cites: list[Cite] = field(default_factory=list)


def known(item: Ingredient, strength: Strength, temperature: float) -> Known | Stop:
    """Everything that follows from one strength; a question where the density is needed and not held."""
    molar, value = item.counted.molar_mass, strength.value
    found = Known(density=density_typed(item.component.source.density if item.component.source else None))
    if strength.family == "mol/L":
        found.mol_L = value / item.basis_per_mole
    elif strength.family == "g/L":
        per_mole = item.basis_g_per_mol or molar
        found.mol_L = value / per_mole if per_mole else None
        found.g_L = None if item.basis_g_per_mol else value
        if per_mole:
            found.working.append(f"{value:g} g/L / {per_mole:.3f} g/mol = {found.mol_L:.5g} mol/L")
    elif strength.family == "v/v":
        pure = density_for(item.substance.slug, 100.0)
        if pure is None:
            return no_density(item)
        found.g_L = value * pure.value_g_per_mL * 1000
        found.cites.append(pure.cite)
        found.said.append(f"Density of the pure liquid taken: {pure.value_g_per_mL:g} g/mL.")
    elif strength.family in ("w/w", "mol/kg"):
        stop = _by_mass(item, strength, found, temperature)
        if stop is not None:
            return stop
    if found.mol_L is None and found.g_L is not None and molar:
        found.mol_L = found.g_L / molar
    if found.g_L is None and found.mol_L is not None and molar:
        found.g_L = found.mol_L * molar
    return found


def no_density(item: Ingredient) -> Open:
    """The question for a density that is not held."""
    return Open(
        "density",
        f"What is the density of the {item.substance.name} solution? It is needed here, and none is held at this strength.",
        remedy="Add it from the label or by measuring it, for example 'density 1.10'.",
    )


def _by_mass(item: Ingredient, strength: Strength, found: Known, temperature: float) -> Stop | None:
    """Fill ``found`` from a mass fraction or a molality; the water of a hydrate counts as water in a molality."""
    molar, dry = item.counted.molar_mass, item.substance.molar_mass
    share = anhydrous_share(item)
    if strength.family == "mol/kg":
        if not dry:
            return Misread("no-molar-mass", f"{item.substance.name} has no single formula here.", "Ask in g/L instead.")
        fraction = strength.value * dry / (1000 + strength.value * dry) / share
        found.working.append(
            f"w = b M / (1000 + b M) = {strength.value:g} x {dry:.3f} / (1000 + {strength.value * dry:.2f}) = {fraction * share:.5g}"
        )
    else:
        fraction = strength.value
    if not 0 < fraction <= 1:
        return Misread(
            "over-hundred-percent",
            "Nothing is stronger than 100 % by mass.",
            "Check the decimal point of the strength.",
        )
    if found.density is None:
        fitted = solution_density(item.substance.slug, fraction * share, temperature)
        held = density_for(item.substance.slug, 100 * fraction * share) or fitted
        if held is None:
            return no_density(item)
        found.density = held.value_g_per_mL
        found.cites.append(held.cite)
        found.said.append(f"No density was given: {held.value_g_per_mL:.4g} g/mL is taken from the tables.")
    if not 0.5 < found.density < 4:
        return Misread(
            "reagent-impossible", f"A density of {found.density:g} g/mL is no solution in water.", "Give it in g/mL."
        )
    found.g_L = 1000 * fraction * found.density
    if molar:
        found.mol_L = found.g_L / molar
        found.working.append(
            f"c = 10 w d / M = 10 x {100 * fraction:.4g} x {found.density:.4g} / {molar:.3f} = {found.mol_L:.4g} mol/L"
        )
    return None


def read_as(item: Ingredient, quantity: Quantity, found: list[str]) -> Strength | None:
    """The typed strength in a family that is computed with; None where it must be asked. Says in ``found`` what it took."""
    unit, source = UNITS[quantity.unit].dimension, item.component.source
    if quantity.unit == "%":
        bottle = item.kind == "concentrated" or (
            item.substance.family in ("acid", "base") and item.form.state == "liquid"
        )
        typed_density = source is not None and source.density is not None
        if not typed_density and not (bottle and quantity.value >= LEAST_BOTTLE_PCT):
            return None
        found.append(f"{quantity.value} % is taken as % w/w, as on a reagent bottle.")
        return Strength("w/w", float(quantity.value) / 100)
    factor = float(UNITS[quantity.unit].factor)
    if quantity.unit.startswith("%"):
        family, scale = {"% w/v": ("g/L", 10.0), "% w/w": ("w/w", 0.01), "% v/v": ("v/v", 0.01)}[quantity.unit]
        return Strength(family, float(quantity.value) * scale)
    if quantity.unit == "mEq/L":
        return None
    if unit == "normal":
        settled = settled_normality(item)
        if settled is None:
            return None
        each, reaction = settled
        found.append(f"Normality counts {each} in a mole here ({reaction.replace('-', ' ')}).")
        return Strength("mol/L", float(quantity.value) * factor / each)
    if unit == "parts":
        found.append(
            f"{quantity.value} {quantity.unit} is taken as mass in volume, as is usual for dilute solutions in water."
        )
    families = {
        "molar": "mol/L",
        "mass per volume": "g/L",
        "molal": "mol/kg",
        "parts": "ppm",
        "peroxide volumes": "volumes",
    }
    family_of = families.get(unit)
    return computable(Strength(family_of, float(quantity.value) * factor)) if family_of else None


@dataclass(frozen=True, slots=True)
class Told:
    """A strength in the unit asked for: value in the fixed unit, and that unit."""

    value: float
    unit: str
    line: str = ""


def told(item: Ingredient, found: Known, to: str, of: str | None, temperature: float) -> Told | Stop:
    """The strength in the unit ``to``, counted as ``of`` where that was asked ("as Ca")."""
    molar, dry = item.counted.molar_mass, item.substance.molar_mass
    kind = UNITS[to].dimension
    no_molar = Misread(
        "no-molar-mass",
        f"{item.substance.name} has no single formula here, so it has no molarity.",
        "Ask in g/L or % w/v.",
    )
    if kind == "molar":
        return Told(found.mol_L, "mol/L") if found.mol_L is not None else no_molar
    if kind == "normal":
        return _normality(item, found)
    if of is not None:
        per_mole = grams_of_basis(item, of)
        if per_mole is None or found.mol_L is None:
            return Misread(
                "basis-not-in-substance",
                f"{item.substance.name} holds no '{of}' to count by.",
                "Name an element or ion that it contains.",
            )
        line = f"{found.mol_L:.5g} mol/L x {per_mole:.3f} g of {basis_formula(of)} in a mole = {found.mol_L * per_mole:.5g} g/L"
        return Told(found.mol_L * per_mole, "g/L", line)
    if found.g_L is None:
        return no_molar
    line = (
        f"{found.mol_L:.5g} mol/L x {molar:.3f} g/mol = {found.g_L:.5g} g/L"
        if found.mol_L is not None and molar
        else ""
    )
    if kind in ("mass per volume", "parts"):
        return Told(found.g_L, "g/L", line)
    if to == "% w/v":
        return Told(found.g_L / 10, "%", f"{line}; in 100 mL: {found.g_L / 10:.5g} g".lstrip("; "))
    if to == "% v/v":
        pure = density_for(item.substance.slug, 100.0) if item.form.state == "liquid" else None
        return Told(found.g_L / pure.value_g_per_mL / 10, "%") if pure else no_density(item)
    fraction = _fraction(item, found, temperature)
    if isinstance(fraction, Open):
        return fraction
    if to == "% w/w":
        return Told(
            100 * fraction,
            "%",
            f"w = g/L / (10 d) = {found.g_L:.5g} / (10 x {found.density:.4g}) = {100 * fraction:.4g} %",
        )
    water = 1 - fraction * anhydrous_share(item)
    if not dry or found.mol_L is None or water <= 0 or found.density is None:
        return no_molar
    kilograms = found.density * water
    return Told(
        found.mol_L / kilograms,
        "mol/kg",
        f"one litre weighs {found.density:.4f} kg and holds {kilograms:.4f} kg of water: {found.mol_L:.4g} / {kilograms:.4f} mol/kg",
    )


def _fraction(item: Ingredient, found: Known, temperature: float) -> float | Open:
    """Mass fraction of the counted form; fills the density it took."""
    assert found.g_L is not None
    if found.density is None:
        dry = item.substance.molar_mass
        fitted = (
            fraction_from_molarity(item.substance.slug, found.mol_L, dry, temperature) if found.mol_L and dry else None
        )
        if fitted is None:
            return no_density(item)
        found.density = fitted[1].value_g_per_mL
        found.cites.append(fitted[1].cite)
        found.said.append(f"No density was given: {found.density:.4f} g/mL is computed for {temperature:g} degC.")
    return found.g_L / (1000 * found.density)


def _normality(item: Ingredient, found: Known) -> Told | Stop:
    said = (item.component.reaction or "").lower().replace("-", " ")
    exact = [
        (row.per_mole, row.reaction)
        for row in equivalents(item.substance.slug)
        if said == row.reaction.replace("-", " ")
    ]
    settled = exact[0] if exact else settled_normality(item)
    if found.mol_L is None or settled is None:
        held = equivalents(item.substance.slug)
        if not held or found.mol_L is None:
            return Open(
                "equivalents",
                f"No reaction of {item.substance.name} is held, so it has no normality here.",
                remedy="Say how many equivalents are in a mole, or ask for mol/L.",
            )
        ways = "; ".join(f"{row.reaction.replace('-', ' ')}: {found.mol_L * row.per_mole:.4g} N" for row in held)
        return Open(
            "equivalents",
            f"The normality of {item.substance.name} depends on the reaction ({ways}). Which is it for?",
            remedy="Name the reaction, for example 'for the redox titration'.",
        )
    each, reaction = settled
    found.said.append(f"Counted for {reaction.replace('-', ' ')}: {each} in a mole.")
    return Told(found.mol_L * each, "N", f"{found.mol_L:.4g} mol/L x {each} = {found.mol_L * each:.4g} N")


def unnamed(component: Component) -> bool:
    """Whether no substance was named, which a dilution or a count of moles can do without."""
    return component.solute.name == UNNAMED and not component.solute.formula
