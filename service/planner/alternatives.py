"""Other ways to make the same solution, each with its uncertainty, transfers, what is left over and the time, and why the
first was chosen.

All are held against the same things: what the strength of the bottle, the assay and the room put in stays, and only the
weighing, the deliveries and the vessels differ.
"""

import math
from collections.abc import Iterator

from rules.plan import DraftPlan, Ingredient, Measure, RouteKind, RouteOption
from rules.tables.glassware import Glass
from service.planner import uncertainty
from service.planner.figures import show
from service.planner.pouring import SMALLEST_PIPETTED_mL, pour
from service.planner.routes import LARGEST_FACTOR, MINUTES, balance_tolerance, pick_balance
from service.planner.vessels import next_flask, split_volume, vessel_words

MOST_SHOWN = 3
#: A stock is offered at these factors over the solution asked for, the handiest first.
FACTORS = (10.0, 20.0, 5.0, 4.0, 2.5)
#: The density of a solution from the fitted equation: relative standard uncertainty (common practice, no source).
DENSITY_U = 0.001
#: A way counts as clearly better known from this share of the chosen one's uncertainty down.
CLEARLY = 0.9
#: Variance over the least from which an intermediate dilution is not worth the litre it would save.
GOOD_ENOUGH = 2.0
LARGEST_INTERMEDIATE_mL = 1000.0
MOST_TRIED = 6
#: Lines of the budget that stay whichever way it is made.
_SHARED = ("molar mass", "assay", "strength", "temperature", "setting")


def add_alternatives(plan: DraftPlan) -> None:
    """Fill ``plan.route.alternatives`` up to three and let ``plan.route.why`` say how the chosen way compares."""
    route, measure = plan.route, plan.measures[0] if plan.measures else None
    if route is None or plan.budget is None or measure is None or not plan.batches or not plan.total_mL:
        return
    shared = sum(line.u_rel**2 for line in plan.budget.lines if line.source.startswith(_SHARED))
    for option in route.alternatives:
        option.u_rel = math.sqrt(option.u_rel**2 + shared)
        option.transfers += len(plan.batches)
    if not route.dilutions:
        route.alternatives += _others(plan, measure, shared)
    ranked = sorted(route.alternatives, key=lambda o: (o.transfers, o.waste_mL > 0.2 * (plan.total_mL or 0.0), o.u_rel))
    route.alternatives = ranked[:MOST_SHOWN]
    if route.alternatives:
        route.why += _compared(plan, plan.budget.u_rel, route.alternatives)


def _compared(plan: DraftPlan, u_rel: float, others: list[RouteOption]) -> str:
    assert plan.route is not None
    transfers = len(plan.batches) + len(plan.route.dilutions)
    said = f" {transfers} transfer{'s' if transfers > 1 else ''}, known to {_percent(u_rel)} (k = 1)"
    better = min(others, key=lambda o: o.u_rel)
    if better.u_rel > CLEARLY * u_rel:
        return f"{said}: no other way here is known clearly better."
    cost = [f"{better.transfers - transfers} more to transfer"] if better.transfers > transfers else []
    if better.waste_mL >= 1:
        cost.append(f"{show(better.waste_mL, 'mL', 3)} left over")
    return f"{said}; {_percent(better.u_rel)} is possible ({better.summary})" + (
        f", with {' and '.join(cost)}." if cost else "."
    )


def _percent(u_rel: float) -> str:
    return f"{100 * u_rel:.2g} %"


def _others(plan: DraftPlan, measure: Measure, shared: float) -> Iterator[RouteOption]:
    item = measure.ingredient
    assert plan.total_mL is not None
    if item is None or len(plan.ingredients) != 1:
        return
    weighed = measure.amount.unit == "g"
    yield from _other_volumes(plan, measure, shared)
    if weighed:
        yield from _by_stock(plan, measure.amount.value, item, shared)
    else:
        if measure.amount.value < SMALLEST_PIPETTED_mL or plan.total_mL > LARGEST_FACTOR * measure.amount.value:
            yield from _two_steps(plan, measure.amount.value, shared)
        yield from _stock_by_mass(plan, measure.amount.value, item, shared)
    yield from _all_by_mass(plan, measure, shared)


def _other_volumes(plan: DraftPlan, measure: Measure, shared: float) -> Iterator[RouteOption]:
    """The next flask up, and flasks that add up, where the volume was made in another way."""
    assert plan.total_mL is not None
    volume, amount, unit = plan.total_mL, measure.amount.value, measure.amount.unit
    chosen = tuple(sorted((b.vessel.glass.nominal_mL for b in plan.batches), reverse=True))
    larger = next_flask(plan.lab, volume * (1 + 1e-6))
    if larger is not None:
        more = amount * larger.nominal_mL / volume
        u = _ware(plan, unit, more, [larger])
        if u is not None:
            yield RouteOption(_kind(unit), f"size up: {show(more, unit)} to {larger.nominal_mL:g} mL in one flask",
                              math.sqrt(u + shared), 1, larger.nominal_mL - volume, _minutes(unit, 1))  # fmt: skip
    sizes = split_volume(volume, tuple(f.nominal_mL for f in plan.lab.flasks))
    if len(sizes) > 1 and sizes != chosen:
        by_size = {f.nominal_mL: f for f in plan.lab.flasks}
        parts = " + ".join(f"{show(amount * size / volume, unit)} to {size:g} mL" for size in sizes)
        u = _ware(plan, unit, amount * sizes[-1] / volume, [by_size[sizes[-1]]])
        if u is not None:
            yield RouteOption(_kind(unit), f"split over {len(sizes)} flasks: {parts}", math.sqrt(u + shared), len(sizes), 0.0,
                              _minutes(unit, len(sizes)))  # fmt: skip


def _kind(unit: str) -> RouteKind:
    return "weigh" if unit == "g" else "dilute"


def _minutes(unit: str, fillings: int) -> float:
    return fillings * (MINUTES["weigh" if unit == "g" else "dilution"] + MINUTES["flask"])


def _ware(plan: DraftPlan, unit: str, amount: float, glasses: list[Glass]) -> float | None:
    """Relative variance of measuring that amount and filling those vessels; None where nothing here measures it."""
    vessels = sum(uncertainty.vessel(glass) ** 2 for glass in glasses)
    if unit == "mL":
        poured = pour(plan.lab, amount)
        return poured.u_rel**2 + vessels if poured else None
    balance = pick_balance(plan.lab, amount, balance_tolerance(0.01))
    return uncertainty.weighing(balance, amount) ** 2 + vessels if balance else None


def _by_stock(plan: DraftPlan, mass_g: float, item: Ingredient, shared: float) -> Iterator[RouteOption]:
    """A stock weighed once and diluted: useful where more of it will be wanted."""
    final = plan.batches[0].vessel.glass
    if len(plan.batches) > 1 or final.kind != "volumetric-flask" or not plan.total_mL:
        return
    pipettes = {p.nominal_mL: p for p in plan.lab.pipettes}
    flask = next((f for f in plan.lab.flasks if f.nominal_mL == 100.0), None)
    for factor in FACTORS:
        pipette = pipettes.get(final.nominal_mL / factor)
        strong = (item.target_mol_L or 0.0) * factor
        if pipette is None or flask is None or (item.ceiling_mol_L and strong > 0.8 * item.ceiling_mol_L):
            continue
        grams = mass_g / plan.total_mL * factor * flask.nominal_mL
        u = _ware(plan, "g", grams, [flask, pipette, final])
        if u is not None and pipette.nominal_mL < flask.nominal_mL:
            summary = (f"weigh {show(grams, 'g')} into {flask.nominal_mL:g} mL ({factor:g} times as strong), then "
                       f"{pipette.nominal_mL:g} mL to {final.nominal_mL:g} mL")  # fmt: skip
            yield RouteOption("stock_then_dilute", summary, math.sqrt(u + shared), 2, flask.nominal_mL - pipette.nominal_mL,
                              _minutes("g", 1) + _minutes("mL", 1))  # fmt: skip
            return


def _two_steps(plan: DraftPlan, volume_mL: float, shared: float) -> Iterator[RouteOption]:
    """A strong stock diluted twice, so that every delivery is one a pipette makes well."""
    final = plan.batches[0].vessel.glass
    assert plan.total_mL is not None
    volume = volume_mL * plan.batches[0].volume_mL / plan.total_mL
    if len(plan.batches) > 1:
        return
    pipettes = [p for p in plan.lab.pipettes if p.nominal_mL >= SMALLEST_PIPETTED_mL]
    pairs = [(flask, second) for second in pipettes if second.nominal_mL <= final.nominal_mL / 2 for flask in plan.lab.flasks
             if second.nominal_mL < flask.nominal_mL <= LARGEST_INTERMEDIATE_mL]  # fmt: skip
    by_size = {p.nominal_mL: p for p in pipettes}
    exact = []
    for flask, second in pairs:
        first = by_size.get(round(volume * flask.nominal_mL / second.nominal_mL, 9))
        if first is not None and first.nominal_mL <= flask.nominal_mL / 2:
            exact.append(
                (uncertainty.vessel(first), flask, second, first.nominal_mL, f"{first.nominal_mL:g} mL {first.words}")
            )
    found = [(u * u + sum(uncertainty.vessel(g) ** 2 for g in (flask, second, final)), flask, second, take, words)
             for u, flask, second, take, words in exact or _measured(plan, volume, pairs)]  # fmt: skip
    least = min((f[0] for f in found), default=0.0)
    good = [f for f in found if f[0] <= GOOD_ENOUGH * least]
    for u, flask, second, take, words in sorted(good, key=lambda f: (f[1].nominal_mL - f[2].nominal_mL, f[0]))[:1]:
        summary = (f"in two steps: {show(take, 'mL')} ({words}) to {flask.nominal_mL:g} mL, then {second.nominal_mL:g} mL of that "
                   f"to {final.nominal_mL:g} mL")  # fmt: skip
        yield RouteOption(
            "serial", summary, math.sqrt(u + shared), 2, flask.nominal_mL - second.nominal_mL, 2 * _minutes("mL", 1)
        )


def _measured(
    plan: DraftPlan, volume_mL: float, pairs: list[tuple[Glass, Glass]]
) -> Iterator[tuple[float, Glass, Glass, float, str]]:
    """First deliveries that no one-mark pipette makes, from a graduated pipette or burette: a few handy pairs only."""
    fitting = [(flask, second, take) for flask, second in pairs if second.nominal_mL in (5.0, 10.0, 25.0)
               and SMALLEST_PIPETTED_mL <= (take := volume_mL * flask.nominal_mL / second.nominal_mL) <= flask.nominal_mL / 2]  # fmt: skip
    for flask, second, take in fitting[:MOST_TRIED]:
        poured = pour(plan.lab, take)
        if poured is not None and not poured.words.endswith("cylinder"):
            yield poured.u_rel, flask, second, take, poured.words


def _stock_by_mass(plan: DraftPlan, volume_mL: float, item: Ingredient, shared: float) -> Iterator[RouteOption]:
    """The stock weighed instead of measured out, where its density stands on the bottle or in a table."""
    if not item.stock_density or len(plan.batches) > 1:
        return
    grams = volume_mL * item.stock_density
    u = _ware(plan, "g", grams, [plan.batches[0].vessel.glass])
    if u is not None:
        vessel = vessel_words(plan.batches[0].vessel.glass)
        yield RouteOption("dilute", f"weigh {show(grams, 'g')} of the stock instead of measuring it, then make up in the {vessel}",
                          math.sqrt(u + shared), 1, 0.0, _minutes("g", 1))  # fmt: skip


def _all_by_mass(plan: DraftPlan, measure: Measure, shared: float) -> Iterator[RouteOption]:
    """Everything weighed, the water too: no flask needed, only the density of the solution."""
    made, item = plan.solution, measure.ingredient
    assert plan.total_mL is not None and item is not None
    if made.density is None or made.density_assumed:
        return
    grams = measure.amount.value if measure.amount.unit == "g" else measure.amount.value * (item.stock_density or 0.0)
    balance = pick_balance(plan.lab, plan.total_mL * made.density, 0.01)
    water = plan.total_mL * made.density - grams
    if grams <= 0 or water <= 0 or balance is None:
        return
    u = _ware(plan, "g", grams, [])
    if u is not None:
        yield RouteOption("weigh", f"by mass: {show(grams, 'g')} and {show(water, 'g')} of water, at {made.density:.4f} g/mL",
                          math.sqrt(u + DENSITY_U**2 + shared), 1, 0.0, 2 * MINUTES["weigh"])  # fmt: skip
