"""Which requests are one preparation: substance, form, strength and all else that is made agree. Pure.

What cannot be compared is never merged: a named vessel, a mass of solute, an amount of stock that is used up, a series.
"""

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from typing import TypeVar

from grammar.request import Component, Prepare, Quantity, Request
from grammar.units import UNITS, in_base
from rules.plan import DraftPlan, Ingredient
from service.planner.totals import class_total

Key = tuple[object, ...]
Item = TypeVar("Item")


def total_of(request: Request) -> Quantity | None:
    """The total asked for, exactly, in mL or g; None where it is not said as one."""
    if not isinstance(request, Prepare):
        return None
    total = request.total or (class_total(request.portions) if request.portions is not None else None)
    if total is None or UNITS[total.unit].dimension not in ("volume", "mass"):
        return None
    return Quantity(_plain(in_base(total)), UNITS[total.unit].base)


def key_of(request: Request, plan: DraftPlan) -> Key | None:
    """What must be equal for two requests to be merged; None where this one is made by itself."""
    total = total_of(request)
    if not isinstance(request, Prepare) or total is None or request.container is not None or request.solvent_volume:
        return None
    if any(c.mass is not None or (c.source is not None and c.source.volume is not None) for c in request.components):
        return None
    if not plan.ingredients or plan.series is not None:
        return None
    typed = tuple(_typed(c) for c in request.components) if len(request.components) > 1 or plan.product_name else ()
    return (
        total.unit, plan.product_name, typed, tuple(_ingredient(i) for i in plan.ingredients), request.solvent,
        request.purpose, request.ph, request.temperature, request.bottle, request.confirmed,
    )  # fmt: skip


def merged(requests: list[Prepare]) -> Prepare:
    """One request for all: the strength with most figures, which holds for the others too, and the sum of the totals."""
    closest = max(requests, key=lambda r: sum(c.strength.figures for c in r.components if c.strength is not None))
    totals = [total for total in (total_of(r) for r in requests) if total is not None]
    whole = _plain(sum((total.value for total in totals), Decimal(0)))
    return replace(closest, total=Quantity(whole, totals[0].unit), portions=None, set_aside=(), read_as_notes=())


def grouped(items: Iterable[tuple[Key | None, Item]]) -> list[list[Item]]:
    """Items with an equal key together, in the order they first come; those without a key alone."""
    found: list[list[Item]] = []
    places: dict[Key, list[Item]] = {}
    for key, item in items:
        if key is not None and key in places:
            places[key].append(item)
            continue
        found.append([item])
        if key is not None:
            places[key] = found[-1]
    return found


def _ingredient(item: Ingredient) -> Key:
    reagent = item.reagent
    figures = (
        item.target_mol_L, item.target_g_L, item.target_mass_fraction_pct, item.purity, item.basis_g_per_mol, item.stock_mol_L,
        item.stock_g_L, item.stock_mass_pct, item.stock_volume_pct, item.stock_density,
    )  # fmt: skip
    return (
        item.substance.slug, item.form.label, item.counted.label, item.kind, reagent,
        *(None if value is None else f"{value:.9g}" for value in figures),
    )  # fmt: skip


def _typed(component: Component) -> Key:
    strength = component.strength
    return () if strength is None else (strength.value.normalize(), strength.unit, strength.of)


def _plain(value: Decimal) -> Decimal:
    """Without zeros after the point and without an exponent: 1750, not 1.75E+3."""
    return value.quantize(Decimal(1)) if value == value.to_integral_value() else value.normalize()
