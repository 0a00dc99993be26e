"""Questions about a strength: of what was weighed, of a bottle, after diluting, or the same one in other terms."""

from dataclasses import replace
from decimal import Decimal

from grammar.request import Ask, Misread, Prepare, Quantity, Source
from grammar.units import UNITS
from rules.plan import Amount, DraftPlan, Ingredient, Open, Option
from rules.tables.concentrated import reagents, usual
from rules.tables.density import solution_density, water_density
from rules.tables.equivalents import equivalents
from service.answers.settled import refusal, settle
from service.answers.strengths import Known, Told, known, read_as, told, unnamed
from service.answers.terms import Answer, Consider, Refused, Result, base, figures, fixed_unit, in_unit, scale, typed
from service.bench import Bench
from service.planner.amounts import anhydrous_share
from service.planner.figures import round_figures
from service.planner.matching import form_name
from service.planner.questions import ask_about_strength, with_component
from service.planner.settling import PERCENTS_MEET
from service.planner.strength import Strength, is_strength, strength_of

ONE_LITRE = Quantity(Decimal(1), "L")


def given(ask: Ask, plan: DraftPlan, item: Ingredient, quantity: Quantity) -> Known | Open | Misread:
    """What follows from a strength that was typed; the question where its unit or basis leaves it open."""
    strength = read_as(item, quantity, plan.assumptions)
    if strength is None and quantity.unit == "%":
        strength = _percent_in_volume(item, quantity, _temperature(ask), plan)
    if strength is None:
        item.component = replace(item.component, strength=quantity)
        open_ = ask_about_strength(ask.request, item, 0)
        return open_ or Open("unit", f"{typed(quantity)} cannot be turned into another strength.", remedy="Give mol/L.")
    if strength.value <= 0:
        return Misread("strength-not-positive", f"A strength of {typed(quantity)} is none.", "Give one above zero.")
    return known(item, strength, _temperature(ask))


def _percent_in_volume(item: Ingredient, quantity: Quantity, at: float, plan: DraftPlan) -> Strength | None:
    """A bare percentage as % w/v where % w/w gives nearly the same, as a plan takes it."""
    if item.form.state in ("liquid", "solution"):
        return None
    in_volume, by_mass = (
        known(item, Strength(family, float(quantity.value) * factor), at) for family, factor in (("g/L", 10.0), ("w/w", 0.01))
    )
    if not isinstance(in_volume, Known) or not isinstance(by_mass, Known) or not in_volume.g_L or not by_mass.g_L:
        return None
    if abs(by_mass.g_L / in_volume.g_L - 1) > PERCENTS_MEET:
        return None
    plan.assumptions.append(
        f"{quantity.value} % is taken as % w/v (grams in 100 mL); as % w/w it would be within {PERCENTS_MEET * 100:g} % of that."
    )
    return Strength("g/L", float(quantity.value) * 10)


def _temperature(ask: Ask) -> float:
    return float(ask.request.temperature.value) if ask.request.temperature is not None else 20.0


def convert(ask: Ask, bench: Bench, consider: Consider) -> Result:
    """The same strength in other terms, of a solution or of a reagent bottle."""
    settled = settle(ask.request, bench)
    if not isinstance(settled, tuple):
        return settled
    plan, item = settled
    quantity = item.component.strength
    if quantity is None:
        return _of_usual_bottle(ask, plan, item)
    found = given(ask, plan, item, quantity)
    if not isinstance(found, Known):
        return found
    if ask.topic == "convert":
        cannot_be = refusal(replace(ask.request, total=ONE_LITRE), bench, consider)
        if cannot_be is not None:
            return cannot_be
    return tell(ask, plan, item, found, f"{typed(quantity)} {form_name(item.substance, item.counted)}", (quantity,))


def _of_usual_bottle(ask: Ask, plan: DraftPlan, item: Ingredient) -> Result:
    """ "Molarity of concentrated hydrochloric acid": the bottle the trade means, or the question which one it is."""
    if ask.to == "%":
        ask = replace(ask, to="% w/w")  # what the label of a bottle gives
    bottle = usual(item.substance.slug)
    if bottle is None:
        choices = bottles(ask.request, item.substance.slug, as_target=True)
        return Open(
            "reagent-strength", f"How strong is the bottle of {item.substance.name}?", choices, "Read its label."
        )
    plan.assumptions.append(
        f"The bottle is taken as {bottle.grade} {item.substance.name}: {bottle.mass_percent:g} % w/w, {bottle.density_g_per_mL:g} g/mL."
    )
    found = known(item, Strength("w/w", bottle.mass_percent / 100), _temperature(ask))
    if not isinstance(found, Known):
        return found
    quantity = Quantity(Decimal(f"{bottle.mass_percent:g}"), "% w/w")
    found.said.clear()
    found.cites.append(bottle.cite)
    return tell(ask, plan, item, found, f"{bottle.mass_percent:g} % w/w {item.substance.name}", (quantity,))


def bottles(request: Prepare, slug: str, as_target: bool = False) -> tuple[Option, ...]:
    """Each strength that is sold, as the bottle that is poured from or (``as_target``) as the solution asked about."""
    component = request.components[0]
    found = []
    for row in reagents(slug):
        strength = Quantity(Decimal(f"{row.mass_percent:g}"), "% w/w")
        source = replace(component.source or Source(), kind="concentrated", strength=strength)
        changed = replace(component, strength=strength) if as_target else replace(component, source=source)
        label = f"{row.grade}, {row.density_g_per_mL:g} g/mL"
        found.append(Option(f"{row.mass_percent:g}-percent", label, with_component(request, 0, changed)))
    return tuple(found)


def tell(
    ask: Ask, plan: DraftPlan, item: Ingredient, found: Known, said: str, given_as: tuple[Quantity | None, ...]
) -> Result:
    """The answer in the unit asked for, at the figures of what was typed."""
    to = ask.to or "mol/L"
    if to == "%":
        return Open(
            "percent-basis",
            f"Percent of {item.substance.name} by mass (% w/w), or grams in 100 mL (% w/v)?",
            remedy="Ask for '% w/w' or '% w/v'.",
        )
    wanted = told(item, found, to, ask.of, _temperature(ask))
    if isinstance(wanted, Open) and wanted.about == "equivalents":
        return replace(wanted, options=_reactions(ask, item))
    if not isinstance(wanted, Told):
        return Refused(wanted) if isinstance(wanted, Misread) else wanted
    counted = f" as {ask.of}" if ask.of else ""
    if UNITS[to].dimension == "parts":
        found.said.append(
            f"{to} is counted as mass in volume (1 ppm = 1 mg/L), as is usual for dilute solutions in water."
        )
    shown = in_unit(wanted.value, to, figures(*given_as)) + counted
    return Answer(
        Amount(wanted.value, wanted.unit, shown),
        f"{said} is {shown}.",
        [line for line in (*found.working, wanted.line) if line],
        [*plan.assumptions, *found.said],
        [*found.cites, item.form.cite],
    )


def _reactions(ask: Ask, item: Ingredient) -> tuple[Option, ...]:
    component = ask.request.components[0]
    return tuple(
        Option(
            row.reaction,
            f"{row.reaction.replace('-', ' ')}, {row.per_mole} in a mole",
            with_component(ask.request, 0, replace(component, reaction=row.reaction.replace("-", " "))),
        )
        for row in equivalents(item.substance.slug)
    )


def made(ask: Ask, bench: Bench, consider: Consider) -> Result:
    """The strength of a weighed mass made up to a volume (or dissolved in a volume of water: both readings compared)."""
    component, total = ask.request.components[0], ask.request.total
    assert component.mass is not None and total is not None
    if unnamed(component):
        return Misread("substance-missing", "No substance was named.", "Name the substance that was weighed.")
    settled = settle(ask.request, bench)
    if not isinstance(settled, tuple):
        return settled
    plan, item = settled
    if base(component.mass) <= 0 or base(total) <= 0:
        return Refused(Misread("total-not-positive", "Nothing was weighed or made up.", "Give amounts above zero."))
    cannot_be = refusal(replace(ask.request, solvent_volume=False), bench, consider)
    if cannot_be is not None:
        return cannot_be
    grams = base(component.mass) * item.purity
    said = f"{typed(component.mass)} of {form_name(item.substance, item.form)} in {typed(total)}"
    counted = (
        grams / item.form.molar_mass * item.counted.molar_mass
        if item.form.molar_mass and item.counted.molar_mass
        else grams
    )
    if UNITS[total.unit].dimension == "mass":
        if ask.request.solvent is None:
            return Open(
                "solvent-mass",
                f"Is {typed(total)} the mass of the finished solution, or of the water?",
                remedy="Say 'of water' or 'of solution'.",
            )
        plan.assumptions.append(f"{typed(total)} is taken as the mass of the water.")
        fraction = counted / (base(total) + grams)
        found: Known | Open | Misread = known(item, Strength("w/w", fraction), _temperature(ask))
        return tell(ask, plan, item, found, said, (component.mass, total)) if isinstance(found, Known) else found
    litres = base(total) / 1000
    molal = ask.to in ("mol/kg", "mmol/kg") and ask.request.solvent_volume
    if molal and item.substance.molar_mass:
        kilograms = litres * water_density(_temperature(ask)) + (grams - grams * anhydrous_share(item)) / 1000
        moles = grams * anhydrous_share(item) / item.substance.molar_mass
        shown = in_unit(moles / kilograms, "mol/kg", figures(component.mass, total))
        return Answer(
            Amount(moles / kilograms, "mol/kg", shown),
            f"{said} of water is {shown}.",
            [f"{moles:.5g} mol / {kilograms:.5g} kg of water = {moles / kilograms:.5g} mol/kg"],
            [*plan.assumptions, "The volume is that of the water, whose density at 20 degC is taken."],
        )
    if ask.request.solvent_volume:
        apart = _water_measured(item, grams, litres, _temperature(ask))
        if apart is None or apart > plan.policy.house.tolerance(None):
            return Open(
                "solvent-volume",
                f"Is {typed(total)} the volume of the finished solution, or of the water it is dissolved in?",
                (Option("made-up", f"made up to {typed(total)}", replace(ask.request, solvent_volume=False)),),
                "A molarity counts in the finished solution: say 'made up to'.",
            )
        plan.assumptions.append(
            f"Made up to {typed(total)}; dissolved in {typed(total)} of water it differs by under {100 * max(apart, 0.001):.1f} %."
        )
    found = known(item, Strength("g/L", counted / litres), _temperature(ask))
    if not isinstance(found, Known):
        return found
    if item.form.molar_mass:
        purity = f" x {item.purity:g}" if item.purity != 1 else ""
        moles = grams / item.form.molar_mass
        found.working[:] = [
            f"n = m / M = {base(component.mass):g} g{purity} / {item.form.molar_mass:.3f} g/mol = {moles:.5g} mol",
            f"c = n / V = {moles:.5g} mol / {litres:g} L = {moles / litres:.5g} mol/L",
        ]
    return tell(ask, plan, item, found, said, (component.mass, total))


def _water_measured(item: Ingredient, grams: float, litres: float, temperature: float) -> float | None:
    """How far (relative) the strength lies below when the volume was that of the water; None where no density is held."""
    dry = grams * anhydrous_share(item)
    water = litres * 1000 * water_density(temperature) + grams - dry
    held = solution_density(item.substance.slug, dry / (dry + water), temperature)
    return (dry + water) / held.value_g_per_mL / (litres * 1000) - 1 if held else None


def diluted(ask: Ask, bench: Bench, _consider: Consider) -> Result:
    """The strength after a volume of stock is made up to a larger one."""
    component, total = ask.request.components[0], ask.request.total
    source = component.source
    assert source is not None and source.volume is not None and total is not None
    if source.strength is None or not is_strength(source.strength):
        return Open(
            "reagent-strength", "How strong is what was diluted?", remedy="Add its strength, for example '2 M'."
        )
    if base(source.volume) > base(total):
        return Refused(
            Misread(
                "total-below-stock",
                f"{typed(source.volume)} cannot be made up to {typed(total)}: that is less.",
                "Check which volume is which.",
            )
        )
    ratio = base(source.volume) / base(total)
    value, unit = base(source.strength) * ratio, source.strength.unit
    line = (
        f"c2 = c1 V1 / V2 = {typed(source.strength)} x {typed(source.volume)} / {typed(total)}"
        f" = {round_figures(value / scale(unit), 4)} {unit}"
    )
    said = f"{typed(source.volume)} of {typed(source.strength)} made up to {typed(total)}"
    counts = (source.strength, source.volume, total)
    same = ask.to is None or (
        unit in UNITS
        and ask.to in UNITS
        and UNITS[ask.to].dimension == UNITS[unit].dimension
        and not unit.startswith("%")
    )
    if (
        (same or ask.to == unit)
        and ask.of is None
        and strength_of(source.strength).family in ("mol/L", "g/L", "eq/L", "v/v")
    ):
        to = ask.to or unit
        shown = in_unit(value, to, figures(*counts))
        return Answer(Amount(value, fixed_unit(unit), shown), f"{said} is {shown}.", [line])
    if unnamed(component):
        return Misread(
            "substance-missing", "No substance was named.", "Name it, so that the strength can be converted."
        )
    now = replace(component, strength=source.strength, source=replace(source, volume=None, strength=None, kind=None))
    bottle = replace(ask, request=replace(ask.request, components=(now,), total=None))
    settled = settle(bottle.request, bench)
    if not isinstance(settled, tuple):
        return settled
    plan, item = settled
    found = given(bottle, plan, item, source.strength)
    if not isinstance(found, Known):
        return found
    found.mol_L = found.mol_L * ratio if found.mol_L is not None else None
    found.g_L = found.g_L * ratio if found.g_L is not None else None
    found.density = None
    found.working.append(f"diluted {1 / ratio:g} times")
    return tell(ask, plan, item, found, said, counts)
