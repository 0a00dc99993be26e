"""The working shown for teaching: once as a chain of unit factors, once with the formulas."""

from grammar.request import Quantity
from rules.plan import DraftPlan, Ingredient
from service.planner.figures import round_figures, show


def write_working(plan: DraftPlan) -> None:
    """Fill ``plan.working`` with both ways of working for every ingredient that was computed."""
    chains: list[str] = []
    formulas: list[str] = []
    for item in plan.ingredients:
        if item.component.strength is None:
            continue
        if item.volume_mL is not None and item.kind in ("stock", "concentrated", "liquid"):
            _poured(plan, item, chains, formulas)
        elif item.mass_g is not None:
            _weighed(plan, item, chains, formulas)
    if plan.route and plan.route.dilutions:
        for step in plan.route.dilutions:
            formulas.append(
                f"{step.label_from} to {step.label_to}: {step.take_mL:g} mL to {step.into_mL:g} mL, a factor of {step.factor:g}"
            )
    plan.working = [(name, lines) for name, lines in (("unit factors", chains), ("formulas", formulas)) if lines]


def _typed(quantity: Quantity) -> str:
    return f"{quantity.value} {quantity.unit}"


def _molar(item: Ingredient, figures: int = 5) -> str:
    """The strength in mol/L: as typed where it was typed so, else at ``figures`` figures."""
    typed = item.component.strength
    if typed is not None and typed.unit == "mol/L" and item.basis_per_mole == 1:
        return f"{typed.value} mol/L"
    return f"{round_figures(item.target_mol_L or 0.0, figures)} mol/L"


def _weighed(plan: DraftPlan, item: Ingredient, chains: list[str], formulas: list[str]) -> None:
    typed, mass, molar = item.component.strength, item.mass_g, item.form.molar_mass
    assert typed is not None
    assert mass is not None
    if plan.route and plan.route.direct_mass_g is not None and plan.route.dilutions:
        mass = plan.route.direct_mass_g
    weighed = show(mass, "g", 5)
    share = f" / {item.purity:g}" if item.purity != 1 else ""
    if item.moles is not None and molar and item.target_mol_L and plan.total_mL:
        litres, moles, strength = plan.total_mL / 1000, round_figures(item.moles, 5), _molar(item)
        chains.append(f"{litres:g} L x {strength} x {molar:.3f} g/mol{share} = {weighed} of {item.form.formula}")
        formulas.append(f"n = c V = {strength} x {litres:g} L = {moles} mol")
        formulas.append(f"m = n M{' / purity' if share else ''} = {moles} mol x {molar:.3f} g/mol{share} = {weighed}")
    else:
        total = f"{plan.total_mL:g} mL" if plan.total_mL else f"{plan.total_g:g} g"
        pure = show(item.solute_mass_g if item.solute_mass_g is not None else mass, "g", 5)
        chains.append(f"{total} x {_typed(typed)} = {pure}" + (f"; {pure}{share} = {weighed}" if share else ""))
    if typed.unit != "mol/L" and item.target_mol_L and molar:
        formulas.insert(0, f"{_typed(typed)} is {round_figures(item.target_mol_L, 4)} mol/L of {item.counted.formula}")


def _poured(plan: DraftPlan, item: Ingredient, chains: list[str], formulas: list[str]) -> None:
    typed, volume = item.component.strength, item.volume_mL
    assert typed is not None
    assert volume is not None
    poured = show(volume, "mL")
    if item.kind == "concentrated" and item.stock_mol_L and item.stock_mass_pct and item.stock_density:
        bottle = f"10 x {item.stock_mass_pct:g} x {item.stock_density:g} / {item.substance.molar_mass or 0.0:.3f}"
        formulas.append(f"bottle: c = 10 w d / M = {bottle} = {item.stock_mol_L:.2f} mol/L")
    if not plan.total_mL:
        return
    if item.stock_mol_L and item.target_mol_L:
        wanted, stock = _molar(item, 4), f"{round_figures(item.stock_mol_L, 4)} mol/L"
    else:
        source = item.component.source
        wanted, stock = _typed(typed), _typed(source.strength) if source and source.strength else "100 %"
    chains.append(f"{plan.total_mL:g} mL x {wanted} / {stock} = {poured}")
    formulas.append(f"V1 = c2 V2 / c1 = {wanted} x {plan.total_mL:g} mL / {stock} = {poured}")
