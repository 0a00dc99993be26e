"""Which way it is made: weighed directly, diluted, or weighed as a stock and diluted, with the balance and the ware.

A mass under the balance's minimum weight (USP general chapter <41>) is never weighed for a known strength: a stronger
stock is weighed and diluted in up to ``MOST_DILUTIONS`` steps of at most one in a hundred.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from rules.house import House
from rules.plan import DilutionStep, DraftPlan, Ingredient, Route, RouteOption
from rules.tables.glassware import Glass
from rules.tables.lab import Balance, Lab
from service.planner import uncertainty
from service.planner.figures import show
from service.planner.pouring import SMALLEST_PIPETTED_mL

MOST_DILUTIONS = 3
LARGEST_FACTOR = 100.0
#: A stock is kept clear of saturation, so that it does not crystallise in a cool room (common practice, no source).
SATURATION_SHARE = 0.8
MINUTES = {"weigh": 10.0, "dilution": 8.0, "flask": 5.0}


def pick_balance(lab: Lab, mass_g: float, tolerance: float) -> Balance | None:
    """The coarsest balance that carries the mass, shows it to a thousandth and holds the tolerance; None under every minimum."""
    able = [b for b in lab.balances if b.capacity_g >= mass_g and b.minimum_weight_g(tolerance) <= mass_g]
    fine = [b for b in able if b.readability_g <= mass_g / 990]
    return fine[-1] if fine else able[0] if able else None


def balance_tolerance(rel: float) -> float:
    """The tolerance a balance is picked for: 0.1 % where three figures or better are wanted, else 1 %."""
    return 0.001 if rel <= 0.005 else 0.01


def route_tolerance(purpose: str | None, house: House) -> float:
    """The tolerance under which weighing directly is given up for a stock: the accurate one of the house, or the usual."""
    return house.tolerance(purpose if purpose in ("accurate", "standard") else None)


@dataclass(frozen=True, slots=True)
class _Ladder:
    """A stock and its dilutions: the stock's strength and flask, the mass to weigh, and the relative uncertainty."""

    stock_flask: Glass
    mass_g: float
    balance: Balance
    steps: tuple[tuple[Glass, Glass], ...]
    factor: float
    u_rel: float
    waste_mL: float


def weigh_route(plan: DraftPlan, item: Ingredient, tolerance: float) -> None:
    """Set ``plan.route`` for one weighed solid: direct where the smallest batch can be weighed, else by way of a stock."""
    assert item.mass_g is not None and plan.total_mL is not None
    smallest = item.mass_g * min(b.volume_mL for b in plan.batches) / plan.total_mL
    least = min(b.minimum_weight_g(tolerance) for b in plan.lab.balances)
    direct = pick_balance(plan.lab, smallest, tolerance)
    heaviest = max(b.capacity_g for b in plan.lab.balances)
    if direct is not None or smallest > least or smallest > heaviest:
        plan.route = Route(
            "weigh",
            "The mass is large enough to weigh directly and stays within the tolerance.",
            direct_mass_g=smallest,
            minimum_weight_g=least,
        )
        return
    ladders = sorted(_ladders(plan, item, tolerance), key=lambda ladder: _preference(ladder, tolerance))
    why = (
        f"{show(smallest, 'g', 3)} is under the minimum weight of {show(least, 'g', 2)} "
        f"(the finest balance here at {tolerance * 100:g} %), "
        "so a stronger stock is weighed and diluted."
    )
    plan.route = Route("weigh", why, direct_mass_g=smallest, minimum_weight_g=least)
    if not ladders or len(plan.batches) > 1:
        return
    best = ladders[0]
    plan.route.kind = "stock_then_dilute" if len(best.steps) == 1 else "serial"
    plan.route.dilutions = _as_steps(item, best)
    plan.route.stock_flask = best.stock_flask
    plan.route.alternatives = [_option(lad) for lad in _different(ladders)[1:4]]
    item.mass_g = best.mass_g


def _preference(ladder: _Ladder, tolerance: float) -> tuple[int, bool, bool, float, float]:
    """Fewest dilutions; then, where the tolerance is held, factors of ten and little left over; else the least uncertain."""
    holds = uncertainty.COVERAGE * ladder.u_rel <= tolerance
    decade = math.isclose(math.log10(ladder.factor) % 1, 0, abs_tol=1e-9)
    return len(ladder.steps), not holds, holds and not decade, ladder.waste_mL if holds else ladder.u_rel, ladder.u_rel


def _ladders(plan: DraftPlan, item: Ingredient, tolerance: float) -> Iterator[_Ladder]:
    """Every workable stock for one, two or three dilutions; deeper ladders only where shallower ones do not exist."""
    final = plan.batches[0].vessel.glass
    assert item.mass_g is not None and plan.total_mL is not None
    grams_per_mL = item.mass_g / plan.total_mL
    ceiling = item.ceiling_mol_L * SATURATION_SHARE if item.ceiling_mol_L else math.inf
    lasts: list[tuple[tuple[Glass, Glass], ...]] = [((p, final),) for p in _pipettes(plan.lab, final)]
    for _ in range(MOST_DILUTIONS):
        found = False
        for steps in lasts:
            for ladder in _stocks(plan, item, steps, grams_per_mL, ceiling, tolerance):
                found = True
                yield ladder
        if found:
            return
        hundred = next((f for f in plan.lab.flasks if f.nominal_mL == 100), plan.lab.flasks[-1])
        lasts = [
            ((p, hundred), *steps)
            for steps in lasts
            for p in _pipettes(plan.lab, hundred)
            if steps[0][0].nominal_mL <= hundred.nominal_mL / 2
        ]


def _pipettes(lab: Lab, flask: Glass) -> list[Glass]:
    return [
        p
        for p in lab.pipettes
        if SMALLEST_PIPETTED_mL <= p.nominal_mL <= flask.nominal_mL / 2
        and flask.nominal_mL / p.nominal_mL <= LARGEST_FACTOR
    ]


def _stocks(
    plan: DraftPlan,
    item: Ingredient,
    steps: tuple[tuple[Glass, Glass], ...],
    grams_per_mL: float,
    ceiling: float,
    tolerance: float,
) -> Iterator[_Ladder]:
    factor = math.prod(flask.nominal_mL / pipette.nominal_mL for pipette, flask in steps)
    strength = (item.target_mol_L or 0.0) * factor
    if strength > ceiling:
        return
    for flask in plan.lab.flasks:
        if flask.nominal_mL < 2 * steps[0][0].nominal_mL or flask.nominal_mL > 1000:
            continue
        mass = grams_per_mL * factor * flask.nominal_mL
        balance = pick_balance(plan.lab, mass, tolerance)
        if balance is None:
            continue
        parts = [uncertainty.weighing(balance, mass), uncertainty.vessel(flask)]
        parts += [uncertainty.vessel(glass) for pair in steps for glass in pair]
        waste = flask.nominal_mL - steps[0][0].nominal_mL + sum(f.nominal_mL for _, f in steps[:-1])
        yield _Ladder(flask, mass, balance, steps, factor, math.sqrt(sum(u * u for u in parts)), waste)


def _different(ladders: list[_Ladder]) -> list[_Ladder]:
    """The best ladder of each factor, so that the alternatives differ in more than the stock's volume."""
    seen: dict[float, _Ladder] = {}
    for ladder in ladders:
        seen.setdefault(ladder.factor, ladder)
    return list(seen.values())


def _as_steps(item: Ingredient, ladder: _Ladder) -> list[DilutionStep]:
    strength = item.target_mol_L * ladder.factor if item.target_mol_L else None
    made: list[DilutionStep] = []
    name = "stock"
    for n, (pipette, flask) in enumerate(ladder.steps):
        step = flask.nominal_mL / pipette.nominal_mL
        weaker = strength / step if strength else None
        after = "the solution" if n == len(ladder.steps) - 1 else f"intermediate {n + 1}"
        made.append(
            DilutionStep(pipette.nominal_mL, pipette, flask, strength, weaker, step, name, after, flask.nominal_mL)
        )
        strength, name = weaker, after
    return made


def _option(ladder: _Ladder) -> RouteOption:
    chain = ", then ".join(f"{p.nominal_mL:g} mL to {f.nominal_mL:g} mL" for p, f in ladder.steps)
    summary = f"weigh {show(ladder.mass_g, 'g')} into {ladder.stock_flask.nominal_mL:g} mL, then {chain}"
    minutes = MINUTES["weigh"] + MINUTES["flask"] + MINUTES["dilution"] * len(ladder.steps)
    return RouteOption(
        "stock_then_dilute" if len(ladder.steps) == 1 else "serial",
        summary,
        ladder.u_rel,
        len(ladder.steps),
        ladder.waste_mL,
        minutes,
    )
