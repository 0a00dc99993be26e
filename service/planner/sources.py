"""What is measured: the mass of a solid, or the volume of a stock, a concentrated reagent or a liquid.

A bottle's own strength and density come first; the reagent table serves only where the request gave none, and then
the plan says which bottle it assumed.
"""

from dataclasses import replace
from decimal import Decimal

from grammar.request import Misread, Prepare, Quantity, Source
from rules.plan import DraftPlan, Ingredient, Open, Option
from rules.tables.concentrated import Reagent, density_for, reagents, usual
from service.planner.amounts import anhydrous_share, density_typed, made_density
from service.planner.bottles import PERCENTS
from service.planner.questions import with_component
from service.planner.strength import Strength, computable, strength_of

Stop = Open | Misread | None


def measure_source(plan: DraftPlan, item: Ingredient, index: int, target: Strength) -> Stop:
    """Fill ``mass_g`` or ``volume_mL`` of the thing measured, from the solute already worked out in ``item``."""
    if item.kind == "stock":
        return _from_stock(plan, item, target)
    if item.kind == "concentrated" or (
        item.kind == "liquid" and (reagents(item.substance.slug) or _bottle_percent(item))
    ):
        return _from_reagent(plan, item, index, target)
    return _weigh(item)


def _weigh(item: Ingredient) -> Stop:
    if item.volume_mL is not None:
        return None
    if item.moles is not None and item.form.molar_mass:
        item.mass_g = item.moles * item.form.molar_mass / item.purity
    elif item.form.label == "variable":
        return Open(
            "variable-water",
            f"The water content of {item.substance.name} (variable hydrate) must come from the bottle's certificate.",
            remedy="Give the formula with its water, or the assay from the certificate.",
        )
    elif item.solute_mass_g is not None:
        item.mass_g = item.solute_mass_g / item.purity
    return None


def _from_stock(plan: DraftPlan, item: Ingredient, target: Strength) -> Stop:
    source = item.component.source
    if source is None or source.strength is None:
        return Open(
            "reagent-strength",
            f"How strong is the stock of {item.substance.name}?",
            remedy="Add its strength, for example 'from a 1 M stock'.",
        )
    stock = strength_of(source.strength)
    if stock.family != target.family:
        stock = computable(stock)
    if stock.value <= 0:
        return Misread(
            "stock-without-strength",
            "A stock of strength zero cannot be diluted.",
            "Give the strength on the stock's label.",
        )
    ratio = _ratio(plan, item, stock, target, density_typed(source.density))
    if isinstance(ratio, Open):
        return ratio
    assert plan.total_mL is not None
    item.volume_mL = plan.total_mL * ratio
    _stock_strengths(item, stock)
    return None


def _ratio(plan: DraftPlan, item: Ingredient, stock: Strength, target: Strength, density: float | None) -> float | Open:
    """Volume of stock in one volume of solution."""
    no_way = Open(
        "density",
        f"The two strengths of {item.substance.name} are in different terms, and what links them (molar mass or density) is not held.",
        remedy="Give both strengths in the same unit, for example both in mol/L.",
    )
    if plan.total_mL is None:
        return Open(
            "total",
            "A stock is diluted by volume, so the final volume is needed.",
            remedy="Add a volume, for example '250 mL'.",
        )
    basis = item.basis_g_per_mol, item.basis_per_mole
    stock_basis = item.stock_basis or basis
    if stock.family == target.family and stock_basis == basis and stock.family not in ("w/w", "mol/kg"):
        return target.value / stock.value
    target_g = _grams_per_litre(item, computable(target), plan.temperature_degC, None, basis)
    stock_g = _grams_per_litre(item, computable(stock), plan.temperature_degC, density, stock_basis)
    if target_g is None or stock_g is None:
        return no_way
    return target_g / stock_g


def _grams_per_litre(
    item: Ingredient, strength: Strength, temperature: float, density: float | None, basis: tuple[float, float]
) -> float | None:
    """Counted grams in a litre for any family that allows it; ``basis`` is what the strength counts (see ``Ingredient``)."""
    mass = item.counted.molar_mass
    grams, per_mole = basis
    if bool(grams) and not mass:
        return None
    share = mass / grams if grams and mass else 1.0
    if strength.family == "g/L":
        return strength.value * share
    if strength.family == "mol/L":
        return strength.value / per_mole * mass if mass else None
    if strength.family == "w/w":
        fraction = strength.value * share
        rho = density or made_density(item, fraction * anhydrous_share(item), temperature)
        return fraction * rho * 1000 if rho else None
    return None


def _stock_strengths(item: Ingredient, stock: Strength) -> None:
    mass = item.counted.molar_mass
    grams, per_mole = item.stock_basis or (item.basis_g_per_mol, item.basis_per_mole)
    if stock.family == "mol/L":
        item.stock_mol_L = stock.value / per_mole
        item.stock_g_L = item.stock_mol_L * mass if mass else None
    elif stock.family == "g/L":
        item.stock_g_L = stock.value
        counted = grams or mass
        item.stock_mol_L = stock.value / counted if counted else None
    elif stock.family == "v/v":
        item.stock_volume_pct = stock.value * 100
    elif stock.family in ("w/w", "%"):
        item.stock_mass_pct = stock.value * 100


def _bottle_percent(item: Ingredient) -> Quantity | None:
    source = item.component.source
    if source is None:
        return None
    if source.strength is not None and source.strength.unit in PERCENTS:
        return source.strength
    return source.purity


def _from_reagent(plan: DraftPlan, item: Ingredient, index: int, target: Strength) -> Stop:
    source = item.component.source
    percent = _bottle_percent(item)
    if target.family == "v/v":
        return _by_volume(plan, item, percent)
    if percent is not None and percent.unit == "% w/v":
        item.kind = "stock"
        return _from_stock(plan, replace_source(item, percent), target)
    reagent = _reagent(item, percent)
    if reagent is None and percent is None:
        return _ask_reagent(plan, item, index)
    pct = float(percent.value) if percent is not None else reagent.mass_percent if reagent else 0.0
    rho = density_typed(source.density if source else None)
    if rho is None:
        known = density_for(item.substance.slug, pct)
        rho = (
            known.value_g_per_mL
            if known
            else reagent.density_g_per_mL
            if reagent and abs(reagent.mass_percent - pct) < 0.05
            else None
        )
    if rho is None:
        return Open(
            "reagent-strength",
            f"The density of {pct:g} % {item.substance.name} is not held. What does the bottle say?",
            remedy="Add the density, for example 'density 1.18', or the strength in mol/L.",
        )
    if not 0 < pct <= 100 or not 0.5 < rho < 4:
        return Misread(
            "reagent-impossible",
            f"{pct:g} % with a density of {rho:g} g/mL is no real reagent.",
            "Read the label again: percent by mass, and density in g/mL.",
        )
    item.reagent, item.stock_mass_pct, item.stock_density, item.reagent_stated = reagent, pct, rho, percent is not None
    mass = item.substance.molar_mass
    item.stock_mol_L = 10 * pct * rho / mass if mass else None
    item.stock_g_L = 10 * pct * rho
    solute = item.moles * mass if item.moles is not None and mass else item.solute_mass_g
    if solute is not None and plan.solvent_by_mass:
        item.mass_g = solute / (pct / 100)
    elif solute is not None:
        item.volume_mL = solute / item.stock_g_L * 1000
    if percent is None and reagent is not None:
        plan.assumptions.append(
            f"The bottle is taken as {reagent.grade} {item.substance.name}: {pct:g} % w/w, {rho:g} g/mL"
            + (f", {item.stock_mol_L:.2f} mol/L." if item.stock_mol_L else ".")
        )
    return None


def replace_source(item: Ingredient, strength: Quantity) -> Ingredient:
    """The same ingredient with the bottle's strength put where a stock's strength is looked for."""
    source = item.component.source
    assert source is not None
    item.component = replace(item.component, source=replace(source, strength=strength))
    return item


def _by_volume(plan: DraftPlan, item: Ingredient, percent: Quantity | None) -> Stop:
    """% v/v counts mL of the liquid; a weaker liquid ("96 %") is taken as v/v and raises the volume in proportion."""
    assert plan.total_mL is not None and item.volume_mL is not None
    if percent is not None:
        if percent.unit not in ("%", "% v/v"):
            return Open(
                "density",
                f"% v/v from a {percent.value} {percent.unit} bottle needs densities that are not held.",
                remedy="Give the bottle's strength in % v/v.",
            )
        if percent.value <= 0:
            return Misread(
                "stock-without-strength",
                "A bottle of strength zero cannot be diluted.",
                "Give the strength on the label.",
            )
        item.stock_volume_pct = float(percent.value)
        item.kind = "stock"
        if percent.unit == "%":
            plan.assumptions.append(f"The bottle's {percent.value} % is taken as % v/v, like the strength asked for.")
        item.volume_mL = item.volume_mL * 100 / float(percent.value)
        return None
    item.kind = "liquid"
    named = usual(item.substance.slug)
    what = (
        f"{named.grade} {item.substance.name}"
        if named and named.mass_percent < 99
        else f"undiluted {item.substance.name}"
    )
    plan.assumptions.append(f"% v/v counts mL of {what} in 100 mL.")
    item.stock_volume_pct = 100.0
    return None


def _reagent(item: Ingredient, percent: Quantity | None) -> Reagent | None:
    if percent is None:
        return usual(item.substance.slug)
    return next((r for r in reagents(item.substance.slug) if abs(r.mass_percent - float(percent.value)) < 0.05), None)


def _ask_reagent(plan: DraftPlan, item: Ingredient, index: int) -> Stop:
    assert isinstance(plan.request, Prepare)
    options = []
    for reagent in reagents(item.substance.slug):
        strength = Quantity(Decimal(f"{reagent.mass_percent:g}"), "% w/w")
        source = replace(item.component.source or Source(), kind="concentrated", strength=strength)
        options.append(
            Option(
                f"{reagent.mass_percent:g}-percent",
                f"{reagent.grade}, {reagent.density_g_per_mL:g} g/mL",
                with_component(plan.request, index, replace(item.component, source=source)),
            )
        )
    return Open(
        "reagent-strength",
        f"How strong is the bottle of {item.substance.name}? No one strength is usual.",
        tuple(options),
        remedy="Read the percentage and the density on the label, for example 'from 40 %, density 1.13'.",
    )
