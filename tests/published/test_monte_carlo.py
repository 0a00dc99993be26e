"""The uncertainty budget against simulated preparations.

JCGM 101:2008 (propagation of distributions): every quantity is drawn from the distribution its specification states, the
strength is worked out from the drawn values, and the spread of many strengths is held against the budget, which adds
squares of sensitivities (JCGM 100:2008, 5.1.2). The specifications are read from the balance and the ware, not from the
budget. Fixed seed; 40 000 draws know a standard deviation to 0.4 %.
"""

import math
import random
import statistics

import pytest

from grammar import read
from grammar.request import Prepare
from rules.plan import DraftPlan
from rules.tables.assay import assay
from rules.tables.glassware import Glass
from rules.tables.lab import Balance
from rules.tables.substances import by_name
from service.bench import default_bench
from service.pipeline import consider
from service.planner.pouring import pour

DRAWS = 40_000
EXPANSION_PER_K, SWING_K = 2.1e-4, 4.0


def planned(text: str) -> DraftPlan:
    request = read(text, known=lambda words: bool(by_name(words)))
    assert isinstance(request, Prepare)
    plan = consider(request, default_bench()).plan
    assert plan.budget is not None
    return plan


def weighed(rng: random.Random, balance: Balance, mass_g: float) -> float:
    """A net mass: two readings, each off by linearity and rounding, and the repeatability of the difference."""
    half = balance.readability_g / 2
    readings = [rng.uniform(-balance.linearity_g, balance.linearity_g) + rng.uniform(-half, half) for _ in range(2)]
    return mass_g + readings[0] - readings[1] + rng.gauss(0.0, balance.repeatability_g)


def volume(rng: random.Random, ware: Glass, mL: float) -> float:
    return mL + rng.triangular(-ware.tolerance_mL, ware.tolerance_mL)


def filled(rng: random.Random, plan: DraftPlan) -> float:
    """The final volume: its flask, the meniscus (QUAM:2012, A1: 0.02 mL at 100 mL) and the temperature of the room."""
    batch = plan.batches[0]
    mL = volume(rng, batch.vessel.glass, batch.volume_mL)
    mL *= 1 + rng.gauss(0.0, 0.0002 * math.sqrt(100 / batch.volume_mL))
    return mL * (1 + rng.uniform(-SWING_K, SWING_K) * EXPANSION_PER_K)


def from_solid(rng: random.Random, plan: DraftPlan) -> float:
    item, measure, route = plan.ingredients[0], plan.measures[0], plan.route
    assert measure.balance is not None and item.form.molar_mass and route is not None and plan.total_mL
    share = 1.0 if route.dilutions else plan.batches[0].volume_mL / plan.total_mL
    usual = assay(item.substance.slug, item.form.label)
    low, high = (usual.low_pct, usual.high_pct) if usual and usual.low_pct and usual.high_pct else (99.0, 100.0)
    # The plan counts the bottle as it is typed; only the spread of the assay matters to the relative spread.
    middle, half = (usual.typical_pct if usual else 99.5), (high - low) / 2
    purity = rng.uniform(middle - half, middle + half) / middle
    moles = weighed(rng, measure.balance, measure.amount.value * share) * purity
    moles /= rng.gauss(item.form.molar_mass, item.form.u_molar_mass or 0.0)
    if route.stock_flask is None:
        return moles / filled(rng, plan)
    strength = moles / volume(rng, route.stock_flask, route.stock_flask.nominal_mL)
    for step in route.dilutions[:-1]:
        strength *= volume(rng, step.pipette, step.take_mL) / volume(rng, step.flask, step.flask.nominal_mL)
    last = route.dilutions[-1]
    return strength * volume(rng, last.pipette, last.take_mL) / filled(rng, plan)


def from_stock(rng: random.Random, plan: DraftPlan, half_width: float) -> float:
    poured = pour(plan.lab, plan.measures[0].amount.value)
    assert poured is not None
    whole = sum(glass.nominal_mL for glass in poured.deliveries)
    taken = plan.measures[0].amount.value / whole if len(poured.deliveries) == 1 else 1.0
    delivered = sum(volume(rng, glass, glass.nominal_mL * taken) for glass in poured.deliveries)
    return delivered * (1 + rng.uniform(-half_width, half_width)) / filled(rng, plan)


def spread(strengths: list[float]) -> float:
    return statistics.stdev(strengths) / statistics.fmean(strengths)


@pytest.mark.parametrize("text", [
    "250 mL of 0.1000 M sodium chloride, accurate", "1 L of 0.05 M anhydrous sodium carbonate",
    "100 mL of 0.00020 M potassium permanganate", "330 mL of 0.1 M potassium nitrate", "50 mL of 0.02 M potassium iodate",
])  # fmt: skip
def test_weighed_solutions(text: str) -> None:
    rng, plan = random.Random(20261125), planned(text)
    assert plan.budget is not None
    assert spread([from_solid(rng, plan) for _ in range(DRAWS)]) == pytest.approx(plan.budget.u_rel, rel=0.02)


@pytest.mark.parametrize(("text", "half_width"), [
    ("250 mL of 0.1 M sodium chloride from 1.000 M sodium chloride", 0.0005),
    ("100 mL of 0.075 M hydrochloric acid from 1.00 M hydrochloric acid", 0.005),
    ("500 mL of 0.01 M sodium chloride from 0.500 M sodium chloride", 0.001),
])  # fmt: skip
def test_diluted_solutions(text: str, half_width: float) -> None:
    """The label's last figure is good to half a unit either way."""
    rng, plan = random.Random(20261125), planned(text)
    assert plan.budget is not None
    assert spread([from_stock(rng, plan, half_width) for _ in range(DRAWS)]) == pytest.approx(plan.budget.u_rel, rel=0.02)


def test_a_source_left_out_is_noticed() -> None:
    """The check can fail: without the assay the simulated spread is far from the budget."""
    rng, plan = random.Random(1), planned("250 mL of 0.1000 M sodium chloride, accurate")
    measure = plan.measures[0]
    assert measure.balance is not None and plan.budget is not None
    bare = [weighed(rng, measure.balance, measure.amount.value) / filled(rng, plan) for _ in range(2000)]
    assert spread(bare) < 0.9 * plan.budget.u_rel
