"""Vessels, pipettes, balances and routes over the example laboratory."""

import math

import pytest

from rules.tables.lab import default_lab
from service.planner.pouring import pour
from service.planner.routes import pick_balance
from service.planner.vessels import split_volume

LAB = default_lab()
SIZES = tuple(f.nominal_mL for f in LAB.flasks)


@pytest.mark.parametrize(
    ("volume", "parts"),
    [
        (250.0, (250.0,)),
        (300.0, (250.0, 50.0)),
        (2500.0, (2000.0, 500.0)),
        (10000.0, (2000.0,) * 5),
        (333.0, ()),
        (750.0, (500.0, 250.0)),
        (2.0, ()),
    ],
)
def test_volumes_are_split_over_the_flasks_exactly(volume: float, parts: tuple[float, ...]) -> None:
    assert split_volume(volume, SIZES) == parts


def test_a_one_mark_pipette_is_taken_where_one_fits() -> None:
    found = pour(LAB, 25.0)
    assert found is not None
    assert found.words == "25 mL one-mark pipette"
    pair = pour(LAB, 30.0)
    assert pair is not None
    assert sum(g.nominal_mL for g in pair.deliveries) == 30.0


@pytest.mark.parametrize("volume", [0.004, 0.05, 0.3, 1.0, 7.3, 20.83, 49.9, 83.3, 640.0, 1900.0])
def test_every_ordinary_volume_can_be_measured(volume: float) -> None:
    found = pour(LAB, volume)
    assert found is not None
    assert sum(g.nominal_mL for g in found.deliveries) >= volume - 1e-9
    assert 0 < found.u_rel < 0.1


def test_nothing_here_measures_a_nanolitre() -> None:
    assert pour(LAB, 1e-6) is None


def test_balance_choice_holds_the_minimum_weight() -> None:
    # USP general chapter <41>: minimum weight is 2 max(s, 0.41 d) / tolerance; at 0.1 mg and 0.10 % at least 82 mg.
    finest = LAB.balances[0]
    assert finest.minimum_weight_g(0.001) == pytest.approx(0.082)
    assert pick_balance(LAB, 0.05, 0.001) is None
    chosen = pick_balance(LAB, 0.0852, 0.001)
    assert chosen is finest
    heavy = pick_balance(LAB, 500.0, 0.01)
    assert heavy is not None
    assert heavy.capacity_g >= 500.0
    assert pick_balance(LAB, 1e6, 0.01) is None


def test_split_parts_always_add_up() -> None:
    for volume in range(5, 4000, 5):
        parts = split_volume(float(volume), SIZES)
        assert not parts or math.isclose(sum(parts), volume)
