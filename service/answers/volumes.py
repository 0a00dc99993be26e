"""How far something goes: the volume that can be made of it, that holds it, or the water that dilutes it.

The planner works out one litre of the solution wanted; what is there then gives the volume by proportion.
"""

from dataclasses import replace
from decimal import Decimal

from grammar.request import Ask, Misread, Quantity
from grammar.units import UNITS
from rules.plan import Amount, DraftPlan, Ingredient, Open
from rules.rule import Finding
from service.answers.concentrations import ONE_LITRE
from service.answers.settled import settle
from service.answers.strengths import unnamed
from service.answers.terms import Answer, Consider, Refused, Result, base, figures, typed
from service.bench import Bench
from service.planner.figures import round_figures, show
from service.planner.strength import strength_of


def evaluate(ask: Ask, bench: Bench, consider: Consider) -> Result:
    """Volume in mL: of the solution that can be made or that holds the amount, or of the water to add."""
    if ask.available is None:
        return Open("available", "How much of it is there?", remedy="Add a mass or a volume, for example '5 g'.")
    if base(ask.available) <= 0:
        return Misread("total-not-positive", f"{typed(ask.available)} makes nothing.", "Give an amount above zero.")
    if unnamed(ask.request.components[0]):
        return _by_ratio(ask)
    if ask.topic == "water-to-add" and UNITS[ask.available.unit].dimension != "volume":
        return _water_by_mass(ask, bench)
    probe = consider(replace(ask.request, total=ONE_LITRE), bench)
    plan = probe.plan
    if plan.problem is not None:
        return Refused(plan.problem) if probe.outcome == "refused" else plan.problem
    if plan.opens:
        return plan.opens[0]
    refused = _stopped(probe.findings)
    if refused is not None:
        return refused
    asking = next((f.question for f in probe.findings if f.result == "fired" and f.question is not None), None)
    if asking is not None:
        return asking
    item = plan.main
    assert item is not None
    per_litre = _per_litre(ask.available, item, plan)
    if per_litre is None:
        return Misread(
            "available-unit",
            f"{typed(ask.available)} says nothing about how much {item.substance.name} there is.",
            "Give a mass for a solid, a volume for a stock.",
        )
    volume = base(ask.available) / per_litre * 1000
    answer = _answer(ask, item, volume, per_litre)
    answer.assumptions[:0] = [a for a in plan.assumptions if a not in answer.assumptions]
    if ask.topic == "volume-containing":
        return answer
    return _judged(ask, bench, consider, volume, answer)


def _water_by_mass(ask: Ask, bench: Bench) -> Result:
    """Water for a weighed solid: only a percentage by mass says how much; everything else is made up to a volume."""
    component, available = ask.request.components[0], ask.available
    strength = component.strength
    assert available is not None and strength is not None
    settled = settle(ask.request, bench)
    if not isinstance(settled, tuple):
        return settled
    plan, item = settled
    if strength.unit != "% w/w" or UNITS[available.unit].dimension != "mass":
        return Open(
            "solvent-volume",
            f"{typed(strength)} counts in the finished solution, so the water is not measured: it is made up to a volume.",
            remedy=f"Ask 'what volume of {typed(strength)} can be made from {typed(available)}'.",
        )
    if not 0 < strength.value < 100:
        return Misread("over-hundred-percent", f"{typed(strength)} is no solution in water.", "Check the percentage.")
    grams = base(available)
    total = grams * item.purity * 100 / float(strength.value)
    shown = show(total - grams, "g", figures(available, strength))
    line = f"{grams * item.purity:g} g / {float(strength.value) / 100:g} = {total:.5g} g of solution; less {grams:g} g"
    text = f"Add {shown} of water to {typed(available)} of {item.substance.name}: {typed(strength)}."
    return Answer(Amount(total - grams, "g", shown), text, [line], plan.assumptions)


def _stopped(findings: list[Finding]) -> Refused | None:
    stops = tuple(f for f in findings if f.result == "fired" and f.severity == "stop")
    return Refused(Misread(stops[0].rule, stops[0].message, stops[0].remedy), stops) if stops else None


def _per_litre(available: Quantity, item: Ingredient, plan: DraftPlan) -> float | None:
    """How much of what is there goes into one litre, in the base unit it was typed in."""
    kind = UNITS[available.unit].dimension
    weighed = plan.route.direct_mass_g if plan.route and plan.route.direct_mass_g is not None else item.mass_g
    if kind == "mass":
        if item.volume_mL is not None:
            return item.volume_mL * item.stock_density if item.stock_density else item.solute_mass_g
        return weighed
    if kind == "volume":
        return item.volume_mL
    return item.moles if kind == "amount" else None


def _answer(ask: Ask, item: Ingredient, volume: float, per_litre: float) -> Answer:
    available, strength = ask.available, item.component.strength
    assert available is not None and strength is not None
    count = figures(available, strength, item.component.source.strength if item.component.source else None)
    shown = show(volume, "mL", count)
    unit = UNITS[available.unit].base
    line = (
        f"one litre takes {round_figures(per_litre, 5)} {unit}; "
        f"{typed(available)} / {round_figures(per_litre, 5)} {unit} per L = {show(volume, 'mL', 5)}"
    )
    name = item.substance.name
    stock = item.component.source.strength if item.component.source else None
    there = f"{typed(available)} of {f'{typed(stock)} ' if stock else ''}{name}"
    if ask.topic == "water-to-add":
        return _water(ask, volume, count, [line], name)
    if ask.topic == "volume-containing":
        text = f"{shown} of {typed(strength)} {name} contains {typed(available)} of it."
    else:
        text = f"{there} makes {shown} of {typed(strength)}."
    return Answer(Amount(volume, "mL", shown), text, [line])


def _water(ask: Ask, volume: float, count: int, working: list[str], name: str) -> Answer:
    """The water is what the final volume has more than the stock, if volumes add up: that is said."""
    available = ask.available
    assert available is not None
    strength = ask.request.components[0].strength
    assert strength is not None
    water = volume - base(available)
    shown = show(water, "mL", count)
    text = (
        f"Add about {shown} of water to {typed(available)}: {show(volume, 'mL', count)} of {typed(strength)} {name} in all. "
        f"To be exact, make it up to {show(volume, 'mL', count)} instead of measuring the water."
    )
    working = [*working, f"{show(volume, 'mL', 5)} - {typed(available)} = {show(water, 'mL', 5)} of water"]
    said = [
        "The volumes of stock and water are taken to add up; strong acids, alkalis and alcohols shrink a little on mixing."
    ]
    return Answer(Amount(water, "mL", shown), text, working, said)


def _by_ratio(ask: Ask) -> Result:
    """A dilution in which no substance was named: only the two strengths count."""
    component, available = ask.request.components[0], ask.available
    stock = component.source.strength if component.source else None
    if available is None or stock is None or component.strength is None or UNITS[available.unit].dimension != "volume":
        return Misread("substance-missing", "No substance was named.", "Name the substance.")
    start, end = strength_of(stock), strength_of(component.strength)
    if start.family != end.family or start.family not in ("mol/L", "g/L", "eq/L", "v/v", "times"):
        return Misread("substance-missing", "The two strengths are in different terms.", "Name the substance.")
    if end.value <= 0 or start.value <= end.value:
        return _weaker(stock, component.strength)
    volume = base(available) * start.value / end.value
    line = (
        f"V2 = c1 V1 / c2 = {typed(stock)} x {typed(available)} / {typed(component.strength)} = {show(volume, 'mL', 5)}"
    )
    count = figures(available, component.strength, stock)
    if ask.topic == "water-to-add":
        return _water(ask, volume, count, [line], "solution")
    shown = show(volume, "mL", count)
    return Answer(
        Amount(volume, "mL", shown), f"{typed(available)} makes {shown} of {typed(component.strength)}.", [line]
    )


def _weaker(stock: Quantity, target: Quantity) -> Refused:
    return Refused(
        Misread(
            "stock-weaker-than-target",
            f"{typed(target)} cannot be made by diluting {typed(stock)}.",
            "Start from something stronger, or ask for a weaker solution.",
        )
    )


def _judged(ask: Ask, bench: Bench, consider: Consider, volume: float, answer: Answer) -> Result:
    """The same solution judged at the volume that comes out: what must be known before it is made goes with the number."""
    if volume > base(Quantity(Decimal(1000), "L")):
        return answer
    total = Quantity(Decimal(round_figures(volume, 4)), "mL")
    judged = consider(replace(ask.request, total=total), bench)
    refused = _stopped(judged.findings)
    if refused is not None:
        return refused
    answer.findings = [f for f in judged.findings if f.result == "fired" and f.severity in ("caution", "hold")]
    held = [f.message for f in answer.findings if f.severity == "hold"]
    if held:
        answer.text += f" Making it must be allowed first: {held[0]}"
    if any(f.rule == "acid-into-water" and f.result in ("passed", "fired") for f in judged.findings):
        answer.text += " Pour the acid into the water, never the water into the acid."
    return answer
