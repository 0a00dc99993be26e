"""Calibration and dilution series: every level by hand, one shared stock, the lab's own ware."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typed import quantity

from grammar.request import Component, Named, Quantity, Series, Source
from rules.plan import DraftPlan
from rules.rule import judge
from service.bench import default_bench
from service.blend_reply import add_blends
from service.pipeline import decide
from service.planner.series import draft_series

BENCH = default_bench()


def series(name: str, strengths: str, unit: str, each: str = "100 mL", stock: str = "", blank: bool = False) -> Series:
    source = Source(kind="stock", strength=quantity(stock)) if stock else None
    levels = tuple(Quantity(Decimal(s), unit) for s in strengths.split())
    return Series(
        Component(Named(name=name, as_typed=name), source=source), levels, quantity(each) if each else None, blank
    )


def takes(plan: DraftPlan) -> dict[str, float]:
    assert plan.series is not None, (plan.problem, plan.opens)
    return {level.strength: level.take_mL for level in plan.series.levels}


def strengths_made(plan: DraftPlan, stock: float) -> dict[str, float]:
    """The strength of every level worked forward from the stock through takes and flasks."""
    assert plan.series is not None
    held = {plan.series.stock: stock}
    for level in plan.series.levels:
        held[level.label] = held[level.taken_from] * level.take_mL / level.flask.nominal_mL
    return {level.label: held[level.label] for level in plan.series.levels}


def test_iron_standards() -> None:
    """100 mL of 2, 4, 6, 8, 10 mg/L from 100 mg/L: 2, 4, 6, 8, 10 mL, and a blank for the zero."""
    plan = draft_series(series("iron", "0 2 4 6 8 10", "mg/L", stock="100 mg/L"), BENCH)
    assert takes(plan) == pytest.approx({f"{n} mg/L": float(n) for n in (2, 4, 6, 8, 10)})
    assert plan.series is not None
    assert plan.series.blank
    assert "blank" in {s.action for s in plan.steps}
    assert len(plan.measures) == 5


def test_weak_levels_come_from_an_intermediate() -> None:
    """1 mg/L from 1000 mg/L in 100 mL would be 0.1 mL: 10 mL to 100 mL first (100 mg/L), then 1 mL."""
    plan = draft_series(series("copper", "1 2 5 10 20", "mg/L", stock="1000 mg/L"), BENCH)
    made = strengths_made(plan, 1000.0)
    assert made["intermediate (100 mg/L)"] == pytest.approx(100.0)
    assert made["level 1 (1 mg/L)"] == pytest.approx(1.0)
    assert all(level.take_mL >= 1 for level in plan.series.levels)  # type: ignore[union-attr]


def test_one_to_ten_five_times() -> None:
    """From 1 mol/L: 10 mL of the one before to 100 mL, five times."""
    plan = draft_series(series("hydrochloric acid", "0.1 0.01 0.001 0.0001 0.00001", "mol/L", stock="1 mol/L"), BENCH)
    assert plan.route is not None
    assert plan.route.kind == "serial"
    assert list(takes(plan).values()) == pytest.approx([10.0] * 5)
    assert strengths_made(plan, 1.0)["level 1 (0.00001 mol/L)"] == pytest.approx(1e-5)


def test_a_stock_is_made_where_none_is_named() -> None:
    """0.1 to 0.8 mmol/L permanganate: 4 mmol/L stock; 50 mL holds 0.2 mmol = 31.6 mg."""
    plan = draft_series(series("potassium permanganate", "0.1 0.2 0.4 0.8", "mmol/L"), BENCH)
    assert plan.measures[0].amount.unit == "g"
    assert plan.measures[0].ingredient is not None
    target = plan.measures[0].ingredient.target_mol_L
    assert target is not None
    assert plan.measures[0].amount.value == pytest.approx(target * 158.034 * (plan.total_mL or 0) / 1000, rel=1e-4)
    assert strengths_made(plan, target * 1000)["level 1 (0.1 mmol/L)"] == pytest.approx(0.1)
    assert plan.series is not None
    assert plan.series.stock_needed_mL <= (plan.total_mL or 0)
    assert "weigh" in {s.action for s in plan.steps} or "weigh-by-difference" in {s.action for s in plan.steps}


def test_what_must_be_asked_or_refused() -> None:
    assert draft_series(series("sodium chloride", "1 2", "g/L", each=""), BENCH).opens[0].about == "total"
    form = draft_series(series("copper sulfate", "0.02 0.04", "mol/L"), BENCH)
    assert form.opens[0].about == "form"
    option = form.opens[0].options[0]
    assert option.series is not None
    assert option.series.strengths == (Quantity(Decimal("0.02"), "mol/L"), Quantity(Decimal("0.04"), "mol/L"))
    weak = draft_series(series("sodium chloride", "5 200", "g/L", stock="100 g/L"), BENCH)
    assert decide(weak, judge(weak, BENCH.rules)) == "refused"
    mixed = Series(
        Component(Named(name="sodium chloride")), (quantity("1 g/L"), quantity("1 mol/L")), quantity("100 mL")
    )
    assert draft_series(mixed, BENCH).problem is not None
    nothing = draft_series(series("sodium chloride", "0", "g/L"), BENCH)
    assert nothing.opens[0].about == "strength"


def test_each_settled_option_leads_to_a_series() -> None:
    form = draft_series(series("copper sulfate", "0.02 0.04 0.1", "mol/L"), BENCH)
    pentahydrate = next(o for o in form.opens[0].options if o.id.endswith("pentahydrate"))
    assert pentahydrate.series is not None
    plan = draft_series(pentahydrate.series, BENCH)
    assert plan.series is not None
    assert len(plan.series.levels) >= 3


def test_reply_has_the_table() -> None:
    document: dict[str, object] = {"product": {}}
    add_blends(draft_series(series("iron", "2 4", "mg/L", stock="100 mg/L"), BENCH), document)
    made = document["series"]
    assert isinstance(made, dict)
    assert [(r["level"], r["take"]["value"], r["flask"]) for r in made["levels"]] == [
        ("level 2 (4 mg/L)", 4.0, "100 mL volumetric flask (class A)"),
        ("level 1 (2 mg/L)", 2.0, "100 mL volumetric flask (class A)"),
    ]


@settings(max_examples=60, deadline=None)
@given(
    levels=st.lists(st.integers(1, 100), min_size=1, max_size=8, unique=True),
    each=st.sampled_from(["25 mL", "50 mL", "100 mL", "250 mL"]),
    stock=st.sampled_from([100, 200, 500, 1000, 2000]),
)
def test_levels_hold_their_strength(levels: list[int], each: str, stock: int) -> None:
    """Worked forward from the stock, every level has exactly the strength asked for, from takes the lab can measure."""
    plan = draft_series(series("copper", " ".join(map(str, levels)), "mg/L", each=each, stock=f"{stock} mg/L"), BENCH)
    if plan.series is None:
        assert plan.problem is not None
        assert plan.problem.code == "series-out-of-reach"
        return
    made = strengths_made(plan, float(stock))
    wanted = {level.label: float(level.strength.split()[0]) for level in plan.series.levels}
    assert made == pytest.approx(wanted)
    drawn = sum(level.take_mL for level in plan.series.levels if level.taken_from == plan.series.stock)
    assert drawn == pytest.approx(plan.series.stock_needed_mL)
