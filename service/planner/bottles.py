"""Which kind of bottle the solute comes from, and what a bare percentage on it means.

A percentage without a basis is settled only where the trade has one usage: by mass on a concentrated acid or base, by
volume on a solvent, the assay on a solid. Everything else is asked.
"""

from dataclasses import replace

from grammar.request import Component, Prepare, Quantity
from rules.plan import DraftPlan, Ingredient, Open, Option
from rules.tables.concentrated import density_for, reagents
from service.planner.questions import with_component

PERCENTS = ("%", "% w/w", "% w/v", "% v/v")
#: A solid is never sold as a solution this strong, so the percentage must be the assay of the solid.
LEAST_ASSAY_PCT = 80.0
#: Above this difference from water's density, percent by mass and by volume part company.
DENSITY_APART = 0.12


def pours_from_stock(component: Component) -> bool:
    """Whether the source is a solution whose solid nobody will weigh, so that its form does not matter."""
    source = component.source
    if source is None or source.kind == "solid":
        return False
    if source.strength is not None and source.strength.unit == "%" and float(source.strength.value) >= LEAST_ASSAY_PCT:
        return False
    return source.kind in ("stock", "concentrated") or (
        source.strength is not None and source.strength.unit not in PERCENTS
    )


def settle_kind(plan: DraftPlan, request: Prepare, item: Ingredient, index: int) -> Open | None:
    """Decide what kind of thing is measured, from the source as typed and the state the form is sold in."""
    source, state = item.component.source, item.form.state
    item.kind = "liquid" if state == "liquid" else "concentrated" if state in ("solution", "gas") else "solid"
    if source is None:
        return None
    if source.purity is not None and item.kind == "solid":
        _assay(item, source.purity)
    if source.strength is None:
        if source.kind == "stock" or (source.kind == "concentrated" and state != "liquid"):
            item.kind = source.kind
        return None
    if source.strength.unit == "%":
        return _bare_percent(plan, request, item, index, source.strength)
    if source.kind == "solid" and source.strength.unit in PERCENTS:
        _assay(item, source.strength)
    elif source.strength.unit == "% w/w" and (state != "solid" or reagents(item.substance.slug)):
        item.kind = "concentrated"
    else:
        item.kind = "stock"
    return None


def _assay(item: Ingredient, percent: Quantity) -> None:
    item.purity, item.purity_stated = float(percent.value) / 100, True


def _bare_percent(plan: DraftPlan, request: Prepare, item: Ingredient, index: int, percent: Quantity) -> Open | None:
    source, typed, value = item.component.source, item.component.strength, float(percent.value)
    assert source is not None
    target = typed.unit if typed else ""
    name = item.substance.name
    if item.form.state == "solid" and (source.kind in (None, "solid") or value >= LEAST_ASSAY_PCT):
        _assay(item, percent)
        plan.assumptions.append(f"{percent.value} % is taken as the assay of the solid {name}.")
        return None
    bottles = reagents(item.substance.slug)
    if target == "% v/v" or (target == "%" and item.substance.family == "solvent"):
        _same_basis(plan, item, percent, "% v/v")
        return None
    if target == "%":
        density = density_for(item.substance.slug, value)
        if density is not None and abs(density.value_g_per_mL - 1) > DENSITY_APART:
            item.kind = "concentrated"
            return None
        item.kind = "stock"
        plan.assumptions.append(f"Both percentages of {name} are taken on the same basis, so only their ratio counts.")
        return None
    if item.form.state in ("solution", "liquid") or bottles:
        item.kind = "concentrated"
        return None
    if target in ("% w/v", "% w/w"):
        _same_basis(plan, item, percent, target)
        return None
    return _ask_basis(request, item, index, percent)


def _same_basis(plan: DraftPlan, item: Ingredient, percent: Quantity, unit: str) -> None:
    source, typed = item.component.source, item.component.strength
    assert source is not None
    assert typed is not None
    item.kind = "stock"
    item.component = replace(
        item.component, strength=replace(typed, unit=unit), source=replace(source, strength=replace(percent, unit=unit))
    )
    plan.assumptions.append(
        f"The bottle's {percent.value} % of {item.substance.name} is taken as {unit}, like the strength asked for."
    )


def _ask_basis(request: Prepare, item: Ingredient, index: int, percent: Quantity) -> Open:
    source = item.component.source
    assert source is not None

    def option(key: str, label: str, unit: str) -> Option:
        changed = replace(item.component, source=replace(source, kind="stock", strength=replace(percent, unit=unit)))
        return Option(key, label, with_component(request, index, changed))

    return Open(
        "percent-basis",
        f"Which percent is the {percent.value} % stock of {item.substance.name}?",
        (option("w-v", "% w/v, grams in 100 mL", "% w/v"), option("w-w", "% w/w, grams in 100 g", "% w/w")),
    )
