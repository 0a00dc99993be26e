"""The strength that follows where a volume of a stock or of the bottle is made up to a total ("100 mL of 12 M acid to 1 L")."""

from dataclasses import replace

from grammar.ratios import six_figures
from grammar.request import Component, Prepare, Quantity
from grammar.units import UNITS, in_base
from rules.plan import DraftPlan
from service.planner.matching import matches


def with_strength_made(plan: DraftPlan, request: Prepare) -> Prepare:
    """The request with the strength its one solute gets by diluting; unchanged where that does not follow from it."""
    total = request.total
    if len(request.components) != 1 or total is None or request.solvent_volume or UNITS[total.unit].dimension != "volume":
        return request
    component = request.components[0]
    made = _made(component, total)
    if made is None:
        return request
    assert component.source is not None
    source = component.source
    poured = source.volume
    assert poured is not None
    if made.unit == "% v/v" and (source.strength is None or source.strength.unit != "% v/v"):
        # So many mL are poured, whatever the label says of what is in them.
        source = replace(source, kind="concentrated", strength=None, density=None, purity=None)
    plan.assumptions.append(
        f"{poured.value} {poured.unit} made up to {total.value} {total.unit} is {made.value} {made.unit}."
    )
    return replace(request, components=(replace(component, strength=made, source=source),))


def _made(component: Component, total: Quantity) -> Quantity | None:
    source = component.source
    if component.strength is not None or component.mass is not None or source is None or source.volume is None:
        return None
    if total.value <= 0:
        return None
    share = in_base(source.volume) / in_base(total)
    if not 0 < share < 1:
        return None
    stock, bottle = source.strength, source.kind == "concentrated" or source.density is not None
    if stock is not None and stock.unit == "%" and any(m.substance.family in ("acid", "base") for m in matches(component.solute)):
        # "10 mL of 37 % acid": the percentage is that of the reagent bottle, by mass.
        bottle = bottle or any(m.substance.forms[0].state != "solid" for m in matches(component.solute))
    if stock is not None and not (bottle and stock.unit in ("%", "% w/w")):
        return replace(stock, value=six_figures(stock.value * share))
    # Of the reagent bottle so many mL are in 100 mL, whatever its label says.
    return Quantity(six_figures(100 * share), "% v/v") if bottle else None
