"""The bench card of several components in one volume, of a recipe, or of anything whose pH is set.

Solids go together into about 60 % of the water, stocks after them, strong acids and alkalis into water and last; the pH
is set in the beaker, and only then is the volume made up.
"""

from rules.plan import DraftPlan, Ingredient, Measure, Step
from rules.tables.behaviour import behaviours
from service.planner.figures import show
from service.planner.steps import (
    COOL_ABOVE_K,
    Traits,
    dissolve,
    finish_steps,
    is_strong,
    prepare,
    to_mark,
    weigh,
    write_steps,
)
from service.planner.tube import in_tube
from service.planner.vessels import vessel_words

#: Share of the volume in which the pH is set, so that the titrant does not overfill it (common practice, no source).
PH_SHARE = 0.8


def write_card(plan: DraftPlan) -> None:
    """Fill ``plan.steps``: the card of a blend where it is one, else the ordinary card."""
    assert plan.route is not None
    in_vessel = plan.total_mL is not None and not (plan.solvent_by_mass or plan.route.dilutions or in_tube(plan))
    mixed = (
        len(plan.ingredients) > 1 or plan.ph_setting is not None or (plan.recipe is not None and plan.recipe.saturated)
    )
    if not (in_vessel and mixed and plan.batches):
        write_steps(plan)
        _add_notes(plan)
        return
    traits: Traits = {i.substance.slug: behaviours(i.substance.slug, i.form.label) for i in plan.ingredients}
    prepare(plan, traits, plan.steps)
    if plan.recipe is not None and plan.recipe.saturated:
        _saturated(plan, traits, plan.steps)
    else:
        _blend(plan, traits, plan.steps)
    finish_steps(plan, traits, plan.steps)
    _add_notes(plan)


def _add_notes(plan: DraftPlan) -> None:
    """The recipe's own instructions, before the first thing is measured."""
    if plan.recipe is None or not plan.recipe.notes:
        return
    at = next((n for n, s in enumerate(plan.steps) if s.action not in ("wear", "fume-cupboard", "dry")), 0)
    plan.steps.insert(at, Step("recipe-notes", "The recipe says: " + "; ".join(plan.recipe.notes) + "."))


def _share(measure: Measure, share: float) -> str:
    return show(measure.amount.value * share, measure.amount.unit) if share < 1 else measure.amount.display


def _blend(plan: DraftPlan, traits: Traits, steps: list[Step]) -> None:
    assert plan.total_mL is not None
    batch = plan.batches[0]
    share, vessel = batch.volume_mL / plan.total_mL, vessel_words(batch.vessel.glass)
    if len(plan.batches) > 1:
        parts = " + ".join(f"{b.volume_mL:g} mL" for b in plan.batches)
        text = f"Made in {len(plan.batches)} portions ({parts}); the steps are for the first. Repeat with the others and mix them all."
        steps.append(Step("batches", text))
    solids = [m for m in plan.measures if m.ingredient and m.amount.unit == "g"]
    liquids = [m for m in plan.measures if m.ingredient and m.amount.unit == "mL"]
    beaker = (
        bool(solids) or plan.ph_setting is not None or any(m.ingredient and is_strong(m.ingredient) for m in liquids)
    )
    for measure in solids:
        weigh(measure, traits, steps, _share(measure, share) if share < 1 else "")
    items = [m.ingredient for m in solids if m.ingredient]
    if len(items) == 1:
        dissolve(plan, items, traits, batch.volume_mL, steps)
    elif items:
        _dissolve_together(plan, items, traits, batch.volume_mL, steps)
    elif beaker:
        steps.append(Step("water-first", f"Put about {show(0.6 * batch.volume_mL, 'mL', 2)} of water in a beaker."))
    for measure in sorted(liquids, key=lambda m: m.ingredient is not None and is_strong(m.ingredient)):
        _pour(measure, share, "beaker, stirring" if beaker else vessel, steps)
    if plan.ph_setting is not None:
        _set_ph(plan, batch.volume_mL, share, steps)
    graded = batch.vessel.glass.kind == "measuring-cylinder"
    if beaker:
        steps.append(Step("transfer", f"Pour through a funnel into the {vessel}."))
        steps.append(Step("rinse", "Rinse beaker, rod and funnel three times with small portions of water into it."))
    if not graded and plan.ph_setting is None:
        steps.append(Step("part-fill", "Fill to about three quarters and swirl to mix."))
    to_mark(vessel, steps, graded)
    if plan.ph_setting is not None:
        steps.append(
            Step("check-ph", f"Read the pH again at {plan.ph_setting.temperature_degC:g} degC and write it down.")
        )


def _dissolve_together(
    plan: DraftPlan, items: list[Ingredient], traits: Traits, volume_mL: float, steps: list[Step]
) -> None:
    """One after the other into the same water, each as it needs; warm only where nothing among them must stay cold."""
    solvent = getattr(plan.request, "solvent", None) or "deionised water"
    ways: list[str] = []
    cold = False
    for item in items:
        held = traits[item.substance.slug]
        need = held.get("hydrolyses") or held.get("slow-to-dissolve")
        cold = cold or "exothermic" in held or (need is not None and need.detail.startswith("cold"))
        ways.append(f"{item.substance.name} ({need.detail})" if need is not None else item.substance.name)
    warm = not cold and any(word in way for way in ways for word in ("(warm", "(hot", "(boil"))
    text = f"Dissolve in a beaker in about {show(0.6 * volume_mL, 'mL', 2)} of {solvent}, stirring, one after the other: {'; '.join(ways)}."
    steps.append(Step("dissolve-warm" if warm else "dissolve", text + (" Keep the water cold." if cold else "")))
    rise = plan.solution.temperature_rise
    if warm or (rise is not None and abs(rise) >= COOL_ABOVE_K):
        steps.append(Step("cool", "Let the solution come to 20 degC before it goes to the mark."))


def _pour(measure: Measure, share: float, where: str, steps: list[Step]) -> None:
    item = measure.ingredient
    assert item is not None
    using = f" with the {measure.using}" if measure.using else ""
    amount = _share(measure, share)
    if is_strong(item):
        steps.append(Step("acid-to-water", f"Add {amount} of {measure.what}{using} slowly to the {where}.",
                          "Always the reagent into the water, never water into the reagent."))  # fmt: skip
        steps.append(Step("cool", "Let it come to 20 degC."))
        return
    rinse = " Rinse the pipette with a little of the stock first." if "pipette" in (measure.using or "") else ""
    steps.append(Step("measure-stock", f"Run {amount} of {measure.what}{using} into the {where}.{rinse}"))


def _set_ph(plan: DraftPlan, volume_mL: float, share: float, steps: list[Step]) -> None:
    setting = plan.ph_setting
    assert setting is not None
    titrant = next((m for m in plan.measures if m.ingredient is None and m.role == "component"), None)
    liquids = sum(m.amount.value for m in plan.measures if m.amount.unit == "mL") * share
    fill = (
        f"Add water to about {show(PH_SHARE * volume_mL, 'mL', 2)}, bring"
        if liquids < 0.5 * volume_mL
        else "Add no water yet; bring"
    )
    text = (
        f"{fill} it to {setting.temperature_degC:g} degC and read the pH with a meter calibrated on two standards "
        f"either side of {setting.ph_typed}."
    )
    if titrant is not None:
        about = show(titrant.amount.value * share, "mL", 2)
        text += (
            f" It starts near pH {setting.ph_before:.1f}. Add {titrant.what.split(', about')[0]}, about {about} in all, "
            f"dropwise towards the end, until it reads {setting.ph_typed}."
        )
    else:
        either = "a little 1 mol/L hydrochloric acid or sodium hydroxide"
        text += f" It should read near {setting.ph_typed}; correct it with {either}."
    caution = "Past the pH, do not go back and forth: every correction adds salt." if titrant is not None else None
    if titrant is not None and not titrant.what.startswith("1 mol/L"):
        caution = (
            f"{caution} It is strong and warms the beaker: slowly, in the fume cupboard; cool before the last drops."
        )
    steps.append(Step("adjust-ph", text, caution))


def _saturated(plan: DraftPlan, traits: Traits, steps: list[Step]) -> None:
    """A saturated solution: solid in excess, shaken, settled, filtered. There is no mark to fill to."""
    assert plan.total_mL is not None
    for measure in plan.measures:
        if measure.ingredient is not None:
            weigh(measure, traits, steps)
    text = (
        f"Shake it with {show(plan.total_mL, 'mL')} of boiled-out, cooled water in a closed bottle, again and again "
        "over a day. Some stays undissolved."
    )
    steps.append(Step("saturate", text))
    steps.append(Step("decant", "Let it settle and decant or filter the clear solution; keep air from it."))
