"""Stocks too strong for one step, and volumes too small for a flask. Common practice, no source; every sum is by hand."""

from itertools import pairwise
from math import isclose, prod

import pytest

from grammar import read
from grammar.request import Misread
from rules.plan import DraftPlan
from service.bench import default_bench
from service.pipeline import consider, known_names


def _plan(text: str) -> DraftPlan:
    request = read(text, known=known_names)
    assert not isinstance(request, Misread), request.message
    return consider(request, default_bench()).plan


# The total dilution is the ratio of the two strengths, whatever the way there.
@pytest.mark.parametrize(
    ("text", "factor"),
    [
        ("100 mL of 0.0000001 M sodium chloride from 1 M stock", 1e7),
        ("500 mL of 1 ppb lead from 1000 ppm stock", 1e6),
        ("1 L of 0.0000001 M HCl from 1 M HCl", 1e7),
        ("250 mL of 2 umol/L glucose from 0.5 M stock", 2.5e5),
    ],
)
def test_ladder_dilutes_by_the_ratio_of_the_strengths(text: str, factor: float) -> None:
    plan = _plan(text)
    assert plan.route is not None
    assert plan.route.kind == "serial"
    steps = plan.route.dilutions
    assert isclose(prod(s.into_mL / s.take_mL for s in steps), factor, rel_tol=1e-9)
    assert all(s.into_mL / s.take_mL <= 100 * (1 + 1e-9) for s in steps)
    assert all(s.take_mL >= 1 for s in steps)
    # Each step leaves enough for the next, and the first is what the card says to measure.
    assert all(before.into_mL >= 2 * after.take_mL for before, after in pairwise(steps))
    assert plan.measures[0].amount.value == steps[0].take_mL
    assert steps[-1].into_mL == plan.total_mL


def test_what_can_be_measured_in_one_step_stays_one_step() -> None:
    # 50 mL x 0.001 mol/L / 1 mol/L = 0.05 mL: a piston pipette's volume.
    plan = _plan("50 mL of 1 mM sodium chloride from 1 M stock")
    assert plan.route is not None
    assert plan.route.kind == "dilute"
    assert isclose(plan.measures[0].amount.value, 0.05, rel_tol=1e-9)


def test_a_millilitre_is_put_together_in_a_tube() -> None:
    # 1 mL x 10 mM / 100 mM = 0.1 mL of stock, and 1 - 0.1 = 0.9 mL of water.
    plan = _plan("1 mL of 10 mM glucose from 100 mM stock")
    assert plan.vessel is not None
    assert plan.vessel.glass.kind == "tube"
    assert [(m.role, round(m.amount.value, 9)) for m in plan.measures] == [("stock", 0.1), ("solvent", 0.9)]
    assert not plan.has_step("fill-to-mark")


def test_several_stocks_in_a_tube_leave_the_rest_to_water() -> None:
    # 1 mL x 10/1000 = 0.010 mL and 1 mL x 5/1000 = 0.005 mL; 1 - 0.015 = 0.985 mL of water.
    plan = _plan("1 mL of 10 mM NaCl, 5 mM KCl from 1 M NaCl and 1 M KCl")
    assert [round(m.amount.value, 9) for m in plan.measures] == [0.01, 0.005, 0.985]


def test_an_accurate_small_volume_is_sized_up_to_a_flask() -> None:
    plan = _plan("2 mL of exactly 0.0100 M sodium chloride from 1.000 M stock")
    assert plan.vessel is not None
    assert (plan.vessel.glass.kind, plan.total_mL) == ("volumetric-flask", 5.0)
