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
                f"{step.label_from} to {step.label_to}: {step.take_mL:g} mL to {step.flask.nominal_mL:g} mL, a factor of {step.factor:g}"
            )
    plan.working = [(name, lines) for name, lines in (("unit factors", chains), ("formulas", formulas)) if lines]


def _typed(quantity: Quantity) -> str:
    return f"{quantity.value} {quantity.unit}"


def _weighed(plan: DraftPlan, item: Ingredient, chains: list[str], formulas: list[str]) -> None:
    typed, mass, molar = item.component.strength, item.mass_g, item.form.molar_mass
    assert typed is not None and mass is not None
    if plan.route and plan.route.direct_mass_g is not None and plan.route.dilutions:
        mass = plan.route.direct_mass_g
    purity = f" / {item.purity:g}" if item.purity != 1 else ""
    if item.moles is not None and molar and item.target_mol_L and plan.total_mL:
        litres = plan.total_mL / 1000
        chains.append(
            f"{litres:g} L x {round_figures(item.target_mol_L, 5)} mol/L x {molar:.3f} g/mol{purity} = {show(mass, 'g', 5)} of {item.form.formula}"
        )
        formulas.append(
            f"n = c V = {round_figures(item.target_mol_L, 5)} mol/L x {litres:g} L = {round_figures(item.moles, 5)} mol"
        )
        formulas.append(
            f"m = n M{' / purity' if purity else ''} = {round_figures(item.moles, 5)} mol x {molar:.3f} g/mol{purity} = {show(mass, 'g', 5)}"
        )
    elif plan.total_g and item.solute_mass_g is not None and not plan.total_mL:
        chains.append(
            f"{plan.total_g:g} g x {_typed(typed)} = {show(item.solute_mass_g, 'g', 5)}{f'; {purity.strip()} = ' + show(mass, 'g', 5) if purity else ''}"
        )
    elif plan.total_mL:
        chains.append(
            f"{plan.total_mL:g} mL x {_typed(typed)} = {show(item.solute_mass_g or mass, 'g', 5)}{f'{purity} = ' + show(mass, 'g', 5) if purity else ''}"
        )
    if typed.unit not in ("mol/L",) and item.target_mol_L and molar:
        formulas.insert(0, f"{_typed(typed)} is {round_figures(item.target_mol_L, 4)} mol/L of {item.counted.formula}")


def _poured(plan: DraftPlan, item: Ingredient, chains: list[str], formulas: list[str]) -> None:
    typed, volume = item.component.strength, item.volume_mL
    assert typed is not None and volume is not None
    if item.kind == "concentrated" and item.stock_mol_L and item.stock_mass_pct and item.stock_density:
        molar = item.substance.molar_mass or 0.0
        formulas.append(
            f"bottle: c = 10 w d / M = 10 x {item.stock_mass_pct:g} x {item.stock_density:g} / {molar:.3f} = {item.stock_mol_L:.2f} mol/L"
        )
    if item.stock_mol_L and item.target_mol_L and plan.total_mL:
        formulas.append(
            f"V1 = c2 V2 / c1 = {round_figures(item.target_mol_L, 4)} x {plan.total_mL:g} mL / {round_figures(item.stock_mol_L, 4)} = {show(volume, 'mL')}"
        )
        chains.append(
            f"{plan.total_mL:g} mL x {round_figures(item.target_mol_L, 4)} mol/L / {round_figures(item.stock_mol_L, 4)} mol/L = {show(volume, 'mL')}"
        )
    elif plan.total_mL:
        source = item.component.source
        stock = _typed(source.strength) if source and source.strength else "100 %"
        chains.append(f"{plan.total_mL:g} mL x {_typed(typed)} / {stock} = {show(volume, 'mL')}")
        formulas.append(f"V1 = c2 V2 / c1 = {typed.value} x {plan.total_mL:g} mL / {stock} = {show(volume, 'mL')}")
