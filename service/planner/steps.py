"""The bench card: the steps this preparation needs and no others, in the order they are done."""

from collections.abc import Mapping
from dataclasses import replace

from rules.plan import DraftPlan, Ingredient, Measure, Step
from rules.tables.behaviour import Behaviour, behaviours
from service.planner.figures import show
from service.planner.plastic import say_plastic
from service.planner.tube import in_tube, tube_steps
from service.planner.vessels import vessel_words

#: Adiabatic rise in K above which the solution is cooled before the mark (5 K is about 0.1 % in volume for water).
COOL_ABOVE_K = 2.0
INVERSIONS = 15
#: Acids and bases of this strength and above go into water (common practice, no source).
WATER_FIRST_mol_L = 2.0


def write_steps(plan: DraftPlan) -> None:
    """Fill ``plan.steps`` for the chosen route."""
    assert plan.route is not None
    steps = plan.steps
    traits = {item.substance.slug: behaviours(item.substance.slug, item.form.label) for item in plan.ingredients}
    prepare(plan, traits, steps)
    if plan.total_mL is None or plan.solvent_by_mass:
        _by_mass(plan, steps)
    elif plan.route.dilutions:
        if plan.route.stock_flask is not None:
            _stock(plan, traits, steps)
        _dilutions(plan, steps)
    elif in_tube(plan):
        tube_steps(plan, steps)
    else:
        _into_vessel(plan, traits, steps)
    _in_the_solvent(getattr(plan.request, "solvent", None), steps)
    finish_steps(plan, traits, steps)


Traits = Mapping[str, Mapping[str, Behaviour]]


#: Steps that fill up or rinse with the solvent of the solution.
_FILLING = frozenset(("rinse", "fill-to-mark", "make-up-in-cylinder"))


def _in_the_solvent(solvent: str | None, steps: list[Step]) -> None:
    """Fill and rinse with the solvent that was asked for where it is not water."""
    if solvent is None or "water" in solvent:
        return
    steps[:] = [replace(s, text=s.text.replace("water", solvent)) if s.action in _FILLING else s for s in steps]


def _has(traits: Traits, behaviour: str) -> Behaviour | None:
    return next((found[behaviour] for found in traits.values() if behaviour in found), None)


def prepare(plan: DraftPlan, traits: Traits, steps: list[Step]) -> None:
    """The steps before anything is measured: protection, fume cupboard, drying."""
    steps.append(
        Step("wear", "Put on eye protection and gloves; have the safety data sheet of each substance to hand.")
    )
    if any("volatile" in traits[i.substance.slug] and (i.kind == "liquid" or is_strong(i)) for i in plan.ingredients):
        steps.append(
            Step("fume-cupboard", "Work in the fume cupboard until the reagent is diluted.", "The vapour is harmful.")
        )
    for item in plan.ingredients:
        drying = traits[item.substance.slug].get("primary-standard")
        if drying and item.kind == "solid" and getattr(plan.request, "purpose", None) in ("accurate", "standard"):
            if drying.dried_in_oven:
                text = f"Dry the {item.substance.name} first ({drying.detail}) and let it cool in a desiccator."
                steps.append(Step("dry", text))
            else:
                steps.append(Step("not-dried", f"The {item.substance.name} is not dried in an oven: {drying.detail}."))


def weigh(measure: Measure, traits: Traits, steps: list[Step], share: str = "") -> None:
    """Append the weighing of one solid; ``share`` replaces the amount where one batch takes part of it."""
    item = measure.ingredient
    assert item is not None
    found = traits[item.substance.slug]
    using = f" on the {measure.using}" if measure.using else ""
    boat = "a clean glass weighing vessel" if "oxidiser-weigh-glass" in found else "a weighing boat"
    text = f"Tare {boat}{using} and weigh {share or measure.amount.display} of {measure.what}. Write down what the balance shows."
    caution = next(
        (found[b].detail for b in ("dusty-toxic", "deliquescent", "hygroscopic", "corrosive-solid") if b in found), None
    )
    if "deliquescent" in found or "hygroscopic" in found:
        steps.append(
            Step(
                "weigh-by-difference",
                text.replace("Tare", "Work quickly with the bottle closed between portions. Tare"),
                caution,
            )
        )
    else:
        steps.append(Step("weigh", text, caution))


def dissolve(plan: DraftPlan, items: list[Ingredient], traits: Traits, volume_mL: float, steps: list[Step]) -> None:
    """Append dissolving the solids in about 60 % of ``volume_mL``, and cooling where it is needed."""
    water = show(0.6 * volume_mL, "mL", 2)
    solvent = getattr(plan.request, "solvent", None) or "deionised water"
    found = {i.substance.slug: traits[i.substance.slug] for i in items}
    first, slow, needs = (_has(found, kind) for kind in ("hydrolyses", "slow-to-dissolve", "dissolve-in"))
    if first:
        text = f"Dissolve first as the metal ion needs: {first.detail}. Then dilute in a beaker with {solvent} to about {water}."
        steps.append(Step("dissolve", text, "Plain water makes it go cloudy."))
    elif needs and solvent == "deionised water":
        text = (
            f"Dissolve as this solid needs, not in water alone: {needs.detail}. Bring it to about {water} in a beaker."
        )
        steps.append(Step("dissolve", text, "Write the solvent on the label."))
    elif any(i.form.state == "liquid" and is_strong(i) for i in items):
        text = f"Put about {water} of {solvent} in a beaker and add the weighed liquid to it slowly, stirring."
        steps.append(Step("acid-to-water", text, "Always the liquid into the water, never water into it."))
    elif _has(found, "exothermic"):
        text = f"Add it in small portions to about {water} of cold {solvent} in a beaker, stirring, and let it cool between them."
        steps.append(Step("dissolve", text))
    elif slow:
        text = f"Dissolve in a beaker in about {water} of {solvent}, stirring: {slow.detail}."
        steps.append(Step("dissolve-warm", text))
    else:
        text = f"Dissolve in a beaker in about {water} of {solvent}, stirring until nothing is left to dissolve."
        steps.append(Step("dissolve", text))
    rise = plan.solution.temperature_rise
    if rise is not None and abs(rise) >= COOL_ABOVE_K:
        felt = f"It {'warms' if rise > 0 else 'cools'} by about {abs(rise):.0f} degC on dissolving."
        steps.append(Step("cool", "Let the solution come to 20 degC before it goes to the mark.", felt))
    elif slow:
        steps.append(Step("cool", "Let the solution come to 20 degC before it goes to the mark."))


def to_mark(vessel: str, steps: list[Step], graded: bool) -> None:
    """Append filling to the mark (``graded``: to the line of a cylinder) and mixing."""
    if graded:
        steps.append(Step("make-up-in-cylinder", f"Make up to the line of the {vessel} with water, read at eye level."))
        steps.append(Step("invert", "Pour into the bottle and mix by turning it over at least ten times."))
        return
    steps.append(
        Step(
            "fill-to-mark",
            f"Add water to about 1 cm below the mark of the {vessel}; wait a minute for the neck to drain.",
        )
    )
    steps.append(
        Step(
            "dropper",
            "Bring the bottom of the meniscus to the mark with a dropper, at eye level.",
            "If it passes the mark, do not draw off: discard and start again.",
        )
    )
    steps.append(
        Step("invert", f"Stopper and turn over at least {INVERSIONS} times, letting the bubble run up each time.")
    )


def _into_vessel(plan: DraftPlan, traits: Traits, steps: list[Step]) -> None:
    assert plan.vessel is not None and plan.total_mL is not None
    solids = [m for m in plan.measures if m.ingredient and m.amount.unit == "g"]
    liquids = [m for m in plan.measures if m.ingredient and m.amount.unit == "mL"]
    batch = plan.batches[0]
    vessel = vessel_words(batch.vessel.glass)
    share = batch.volume_mL / plan.total_mL
    if len(plan.batches) > 1:
        parts = " + ".join(f"{b.volume_mL:g} mL" for b in plan.batches)
        steps.append(
            Step(
                "batches",
                f"Made in {len(plan.batches)} portions ({parts}); the steps are for the first, {batch.volume_mL:g} mL. "
                "Repeat with the others and mix them all.",
            )
        )
    for measure in solids:
        weigh(measure, traits, steps, show(measure.amount.value * share, "g") if share < 1 else "")
    if solids:
        dissolve(plan, [m.ingredient for m in solids if m.ingredient], traits, batch.volume_mL, steps)
    _pour_liquids(plan, liquids, batch.volume_mL, share, vessel, steps)
    graded = batch.vessel.glass.kind == "measuring-cylinder"
    if solids:
        steps.append(Step("transfer", f"Pour through a funnel into the {vessel}."))
        steps.append(Step("rinse", "Rinse beaker, rod and funnel three times with small portions of water into it."))
    if not graded:
        steps.append(Step("part-fill", "Fill to about three quarters and swirl to mix."))
    to_mark(vessel, steps, graded)


def _pour_liquids(
    plan: DraftPlan, liquids: list[Measure], volume_mL: float, share: float, vessel: str, steps: list[Step]
) -> None:
    for measure in liquids:
        item = measure.ingredient
        assert item is not None
        amount = show(measure.amount.value * share, "mL") if share < 1 else measure.amount.display
        using = f" with the {measure.using}" if measure.using else ""
        half = show(0.5 * volume_mL, "mL", 2)
        if is_strong(item) and (item.kind == "concentrated" or (plan.solution.temperature_rise or 0) >= COOL_ABOVE_K):
            text = f"Put about {half} of water in a beaker and add the reagent to the water slowly, stirring."
            steps.append(Step("measure-reagent", f"Measure {amount} of {measure.what}{using}."))
            steps.append(
                Step("acid-to-water", text, "Always the reagent into the water, never water into the reagent.")
            )
            steps.append(Step("cool", "Let it come to 20 degC."))
            text = f"Pour through a funnel into the {vessel} and rinse the beaker three times into it."
            steps.append(Step("transfer", text))
        elif is_strong(item):
            text = (
                f"Put about {half} of water in the {vessel}, then run in {amount} of {measure.what}{using}, swirling."
            )
            steps.append(Step("acid-to-water", text, "Always the strong solution into the water, never water into it."))
        else:
            rinse = " Rinse the pipette with a little of the stock first." if "pipette" in (measure.using or "") else ""
            steps.append(Step("measure-stock", f"Run {amount} of {measure.what}{using} into the {vessel}.{rinse}"))


def is_strong(item: Ingredient) -> bool:
    """A concentrated reagent, a liquid acid or base, or a stock of one so strong that it must go into water."""
    if item.kind == "concentrated":
        return True
    strong_kind = item.substance.family in ("acid", "base")
    return strong_kind and (item.kind == "liquid" or (item.stock_mol_L or 0) >= WATER_FIRST_mol_L)


def _stock(plan: DraftPlan, traits: Traits, steps: list[Step]) -> None:
    assert plan.route is not None and plan.route.stock_flask is not None
    measure = next(m for m in plan.measures if m.role == "solute")
    flask = plan.route.stock_flask
    steps.append(Step("stock", f"First make a stock in the {vessel_words(flask)}."))
    weigh(measure, traits, steps)
    assert measure.ingredient is not None
    dissolve(plan, [measure.ingredient], traits, flask.nominal_mL, steps)
    steps.append(Step("transfer", f"Pour through a funnel into the {vessel_words(flask)}."))
    steps.append(Step("rinse", "Rinse beaker, rod and funnel three times with small portions of water into it."))
    to_mark(vessel_words(flask), steps, False)
    first = plan.route.dilutions[0]
    strength = f" {show(first.from_mol_L, 'mol/L')}" if first.from_mol_L else ""
    steps.append(
        Step(
            "intermediate-label",
            f"Label it as the stock:{strength} {measure.ingredient.substance.name}, date, initials.",
        )
    )


def _dilutions(plan: DraftPlan, steps: list[Step]) -> None:
    assert plan.route is not None
    item = plan.main
    assert item is not None
    for n, step in enumerate(plan.route.dilutions):
        vessel = vessel_words(step.flask)
        rinse = f"Rinse the {step.pipette.nominal_mL:g} mL {step.pipette.words} with the {step.label_from}, "
        take = f"run {step.take_mL:g} mL of it into the {vessel}"
        if n == 0 and plan.route.stock_flask is None and is_strong(item):
            text = f"{rinse}half fill the {vessel} with water, then {take}, swirling; let it come to 20 degC."
            steps.append(
                Step("acid-to-water", text, "Always the reagent into the water, never water into the reagent.")
            )
        else:
            steps.append(Step("pipette", f"{rinse}then {take}."))
        to_mark(vessel, steps, step.flask.kind == "measuring-cylinder")
        if n < len(plan.route.dilutions) - 1 and step.to_mol_L:
            steps.append(
                Step("intermediate-label", f"Label it {step.label_to}: {show(step.to_mol_L, 'mol/L')}, date, initials.")
            )


def _by_mass(plan: DraftPlan, steps: list[Step]) -> None:
    """The water goes in first, so that a strong reagent always goes into water."""
    for measure in sorted(plan.measures, key=lambda m: m.role != "solvent"):
        if measure.role == "solvent":
            steps.append(
                Step("weigh-solvent", f"Tare a beaker and weigh {measure.amount.display} of {measure.what} into it.")
            )
        else:
            steps.append(Step("weigh", f"Add {measure.amount.display} of {measure.what} slowly, stirring."))
    steps.append(Step("stir", "Stir until clear; the strength is by mass, so no mark is needed."))


def finish_steps(plan: DraftPlan, traits: Traits, steps: list[Step]) -> None:
    """Append bottling, labelling and what follows."""
    if _has(traits, "gas-evolving"):
        steps.append(Step("vent", "Open the stopper between turns to let gas out."))
    bottle = storage_words(plan)
    if plan.total_mL is None:
        steps.append(Step("bottle", f"Transfer to the storage bottle ({bottle})."))
    elif not in_tube(plan):
        text = f"Rinse the storage bottle ({bottle}) with a little of the solution and fill it; a volumetric flask is not a storage bottle."
        steps.append(Step("bottle", text))
    steps.append(Step("label", "Label at once: full name, strength, date, initials, hazards, use-by."))
    if any("not-primary-standard" in traits[i.substance.slug] for i in plan.ingredients) and getattr(
        plan.request, "purpose", None
    ) in ("accurate", "standard"):
        steps.append(Step("standardise", "Mark it nominal until it has been standardised."))
    say_plastic(plan)


def storage_words(plan: DraftPlan) -> str:
    """The bottle the solution is kept in, in words."""
    return plan.storage.container if plan.storage else "a clean reagent bottle"
