"""The second half of a draft: route, what is measured and with what, the budget, hazards, storage, steps, working."""

from grammar.request import Prepare
from rules.classify import classify
from rules.house import at_most
from rules.plan import Amount, DraftPlan, Ingredient, Measure, Role, Route
from rules.tables.assay import assay
from rules.tables.density import water_density
from rules.tables.handling import ppe, storage, waste
from rules.tables.hazards import hazard_entry, metal_fraction
from service.planner import uncertainty
from service.planner.alternatives import add_alternatives
from service.planner.blend import write_card
from service.planner.figures import ends, half_last_digit, on_balance, show, textbook, tolerance, window
from service.planner.ladders import dilute_first
from service.planner.matching import form_name
from service.planner.ph import titrant_measure
from service.planner.pouring import pour
from service.planner.routes import balance_tolerance, pick_balance, route_tolerance, weigh_route
from service.planner.solution import describe, dry_grams
from service.planner.tube import add_water, in_tube
from service.planner.vessels import vessel_words
from service.planner.working import write_working

#: A label is taken to be good to its last digit, at most to this (common practice, no source).
LABEL_PCT = 1.0


def finish(plan: DraftPlan) -> None:
    """Complete a plan whose amounts are settled. Leaves fields None where a thing does not apply or is not known."""
    assert isinstance(plan.request, Prepare)
    describe(plan)
    _route(plan, plan.request)
    for item in plan.ingredients:
        plan.measures.append(_measure(plan, plan.request, item))
    titrant = titrant_measure(plan)
    if titrant is not None:
        plan.measures.append(titrant)
    _solvent(plan, plan.request)
    _budget(plan)
    add_alternatives(plan)
    _hazards(plan)
    main = plan.main
    if main is not None:
        plan.storage = at_most(storage(main.substance.slug, main.target_mol_L), plan.policy.house)
        plan.waste = tuple(dict.fromkeys(waste(i.substance.slug) for i in plan.ingredients))
    write_card(plan)
    write_working(plan)


def _tolerance(plan: DraftPlan, request: Prepare, item: Ingredient) -> tuple[float, str]:
    typed = item.component.strength
    if typed is None or plan.computed_strengths:
        return plan.policy.house.tolerance(request.purpose), "house tolerance"
    return tolerance(typed, request.purpose, plan.policy.house)


def _route(plan: DraftPlan, request: Prepare) -> None:
    kinds = {i.kind for i in plan.ingredients}
    main = plan.main
    assert main is not None
    if len(plan.ingredients) > 1:
        plan.route = Route("blend", "Every component is measured into one vessel and made up together.")
    elif kinds <= {"stock", "concentrated"} or (main.kind == "liquid" and main.volume_mL is not None):
        plan.route = Route(
            "dilute", "The stock is stronger than what is wanted, so a measured volume of it is made up to the total."
        )
        dilute_first(plan, main)
    elif plan.total_mL is not None and plan.batches and main.mass_g is not None:
        weigh_route(plan, main, route_tolerance(request.purpose, plan.policy.house))
    else:
        plan.route = Route("weigh", "Everything is weighed, so the strength by mass needs no volumetric glassware.")


def _measure(plan: DraftPlan, request: Prepare, item: Ingredient) -> Measure:
    rel, why = _tolerance(plan, request, item)
    figures = item.component.strength.figures if item.component.strength and not plan.computed_strengths else 3
    role: Role = (
        "component"
        if len(plan.ingredients) > 1
        else "solute"
        if item.mass_g is not None and item.volume_mL is None
        else "stock"
    )
    if item.mass_g is not None and item.volume_mL is None:
        return _weighed(plan, item, role, rel, why, figures)
    ladder = plan.route.dilutions if plan.route is not None else []
    volume = ladder[0].take_mL if ladder else item.volume_mL or 0.0
    share = volume * (plan.batches[0].volume_mL / plan.total_mL) if plan.batches and plan.total_mL else volume
    ware = pour(plan.lab, share)
    span = window(volume, rel, why)
    low, high = ends(span.low, span.high, "mL")
    return Measure(
        _stock_words(item),
        role,
        Amount(volume, "mL", show(volume, "mL", 4 if volume >= 1000 else 3)),
        textbook(volume, "mL", figures),
        low,
        high,
        using=ware.words if ware else None,
        glass=ware.deliveries[0] if ware else None,
        ingredient=item,
    )


def _weighed(plan: DraftPlan, item: Ingredient, role: Role, rel: float, why: str, figures: int) -> Measure:
    mass = item.mass_g
    assert mass is not None and plan.route is not None
    diluted = bool(plan.route.dilutions)
    heaviest = (
        mass
        if diluted or not plan.batches or not plan.total_mL
        else mass * max(b.volume_mL for b in plan.batches) / plan.total_mL
    )
    balance = pick_balance(plan.lab, heaviest, balance_tolerance(rel)) or next(
        (b for b in plan.lab.balances if b.capacity_g >= heaviest), plan.lab.balances[-1]
    )
    span = window(mass, rel, why)
    low, high = ends(span.low, span.high, "g")
    using = (
        f"balance {balance.name.split()[0]}, {balance.readability_g:g} g" if balance.capacity_g >= heaviest else None
    )
    what = form_name(item.substance, item.form) + (f" (assay {item.purity * 100:g} %)" if item.purity_stated else "")
    return Measure(
        what,
        role,
        Amount(mass, "g", on_balance(mass, balance.readability_g)),
        textbook(mass, "g", figures),
        low,
        high,
        using,
        balance,
        None,
        item,
    )


def _stock_words(item: Ingredient) -> str:
    name = item.substance.name
    if item.kind == "concentrated" and item.stock_mass_pct:
        molar = f", {item.stock_mol_L:.2f} mol/L" if item.stock_mol_L else ""
        return f"concentrated {name} ({item.stock_mass_pct:g} % w/w, {item.stock_density:g} g/mL{molar})"
    source = item.component.source
    if item.kind == "stock" and source and source.strength:
        return f"{source.strength.value} {source.strength.unit} {name}"
    return name


def _solvent(plan: DraftPlan, request: Prepare) -> None:
    """The solvent is measured where the total is a mass or there is no mark to fill to."""
    solvent = request.solvent or "deionised water"
    if in_tube(plan):
        add_water(plan, solvent)
    if not plan.solvent_by_mass or plan.total_g is None:
        return
    known = [
        i.mass_g if i.mass_g is not None else (i.volume_mL or 0.0) * (i.stock_density or 1.0) for i in plan.ingredients
    ]
    water = plan.total_g - sum(known)
    if water > 0:
        plan.measures.append(Measure(solvent, "solvent", Amount(water, "g", show(water, "g")), using="balance"))


def _budget(plan: DraftPlan) -> None:
    item = plan.main
    if item is None or len(plan.ingredients) > 1 or plan.route is None:
        return
    lines: list[tuple[str, float]] = []
    measure = plan.measures[0]
    share = plan.batches[0].volume_mL / plan.total_mL if plan.batches and plan.total_mL else 1.0
    if measure.amount.unit == "g" and measure.balance:
        mass = measure.amount.value if plan.route.dilutions else measure.amount.value * share
        lines.append((f"weighing ({measure.using})", uncertainty.weighing(measure.balance, mass)))
        lines.append(
            ("molar mass", (item.form.u_molar_mass or 0.0) / item.form.molar_mass if item.form.molar_mass else 0.0)
        )
        lines.extend(assay_line(item))
    else:
        ware = pour(plan.lab, measure.amount.value * share)
        if ware is None:
            return
        lines.append((f"delivery ({ware.words})", ware.u_rel))
        lines.extend(reagent_line(item))
    lines.extend(_glass_lines(plan))
    plan.budget = uncertainty.combine(lines)


def _glass_lines(plan: DraftPlan) -> list[tuple[str, float]]:
    if not plan.batches:
        return []
    lines = dilution_lines(plan)
    batch = plan.batches[0]
    lines.append((vessel_words(batch.vessel.glass), uncertainty.vessel(batch.vessel.glass, batch.volume_mL)))
    lines.append(("setting the meniscus", uncertainty.meniscus(batch.volume_mL)))
    lines.append(("temperature of the laboratory", uncertainty.temperature()))
    return lines


def dilution_lines(plan: DraftPlan) -> list[tuple[str, float]]:
    """Relative uncertainty of each vessel between what is weighed and the last vessel; none for a solution made in one."""
    lines: list[tuple[str, float]] = []
    assert plan.route is not None
    if plan.route.stock_flask is not None:
        lines.append(
            (f"stock in the {vessel_words(plan.route.stock_flask)}", uncertainty.vessel(plan.route.stock_flask))
        )
    for n, step in enumerate(plan.route.dilutions):
        if n or plan.route.stock_flask is not None:  # the first delivery of a bought stock has a line of its own
            lines.append((f"{step.pipette.nominal_mL:g} mL pipette", uncertainty.vessel(step.pipette)))
        if step is not plan.route.dilutions[-1]:
            lines.append((vessel_words(step.flask), uncertainty.vessel(step.flask)))
    return lines


def assay_line(item: Ingredient) -> list[tuple[str, float]]:
    """Assay: half a percent either way where the bottle's figure was typed, the table's range otherwise, else 1 % below 100."""
    if item.purity_stated:
        return [("assay as typed (0.5 % either way)", uncertainty.rectangular(0.005, item.purity))]
    usual = assay(item.substance.slug, item.form.label)
    if (
        usual is not None
        and usual.low_pct is not None
        and usual.high_pct is not None
        and usual.high_pct > usual.low_pct
    ):
        half = (usual.high_pct - usual.low_pct) / 200
        return [
            (
                f"assay ({usual.low_pct:g} to {usual.high_pct:g} %)",
                uncertainty.rectangular(half, usual.typical_pct / 100),
            )
        ]
    return [("assay not given (taken as 99.5 +/- 0.5 %)", uncertainty.rectangular(0.005, 0.995))]


def reagent_line(item: Ingredient) -> list[tuple[str, float]]:
    """Strength of what is poured: the bottle's usual range, the label's last digit, else 1 % either way."""
    reagent = item.reagent
    if item.kind == "concentrated" and reagent and reagent.low and reagent.high and not item.reagent_stated:
        return [
            (
                f"strength of the bottle ({reagent.low:g} to {reagent.high:g} %)",
                uncertainty.rectangular((reagent.high - reagent.low) / 2, reagent.mass_percent),
            )
        ]
    if item.kind == "stock" and item.component.source and item.component.source.strength:
        return [
            (
                "strength of the stock as labelled",
                min(half_last_digit(item.component.source.strength), LABEL_PCT / 100) / uncertainty.ROOT3,
            )
        ]
    return [("strength of the bottle as labelled (1 % either way)", uncertainty.rectangular(0.01, 1.0))]


def _hazards(plan: DraftPlan) -> None:
    total = plan.total_g or (plan.total_mL or 0.0) * (plan.solution.density or water_density(plan.temperature_degC))
    parts = []
    for item in plan.ingredients:
        grams = dry_grams(item)
        if grams is None or not total:
            return
        entry = hazard_entry(item.substance.slug, item.form.label)
        parts.append(
            (
                entry,
                item.substance.slug,
                100 * grams / total,
                metal_fraction(entry, item.substance.slug) if entry else 1.0,
            )
        )
    plan.hazards = classify(parts, plan.policy)
    plan.ppe = ppe(plan.hazards.classes)
