"""Several components in one volume: what each needs by hand, and that the parts add up to the whole."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typed import part, prepare

from service.bench import default_bench
from service.pipeline import Judged, consider

BENCH = default_bench()


def planned(*args: object, **kwargs: object) -> Judged:
    found = consider(prepare(*args, **kwargs), BENCH)  # type: ignore[arg-type]
    assert found.outcome in ("planned", "held"), (found.plan.problem, found.plan.opens)
    return found


def amounts(judged: Judged) -> list[float]:
    return [m.amount.value for m in judged.plan.measures if m.ingredient is not None]


def test_stocks_add_up() -> None:
    """50 mL of 20 mM HEPES, 150 mM NaCl, 5 % glycerol: 50 x 20/1000, 50 x 150/5000, 50 x 5/50 mL."""
    found = planned("50 mL", part("20 mmol/L", "HEPES", "1 mol/L"), part("150 mmol/L", "sodium chloride", "5 mol/L"),
                    part("5 % v/v", "glycerol", "50 % v/v"))  # fmt: skip
    assert amounts(found) == pytest.approx([1.0, 1.5, 5.0])
    assert found.plan.route is not None
    assert found.plan.route.kind == "blend"


def test_solid_and_stock_together() -> None:
    """8 g/L NaCl weighed and 10 mM tris from 1 M: 250 mL takes 2.000 g and 2.50 mL."""
    found = planned("250 mL", part("8 g/L", "sodium chloride"), part("10 mmol/L", "tris", "1 mol/L"))
    assert amounts(found) == pytest.approx([2.0, 2.5])


def test_solids_first_then_stocks_then_the_mark() -> None:
    found = planned("250 mL", part("0.1 mol/L", "sodium chloride"), part("0.1 mol/L", "potassium chloride", "2 mol/L"))
    actions = [s.action for s in found.plan.steps]
    assert actions.index("weigh") < actions.index("dissolve") < actions.index("measure-stock")
    assert actions.index("measure-stock") < actions.index("transfer") < actions.index("fill-to-mark")


def test_ph_is_set_before_the_mark() -> None:
    found = planned("1 L", part("0.05 mol/L", "tris"), part("0.15 mol/L", "sodium chloride"), ph="7.5")
    actions = [s.action for s in found.plan.steps]
    assert (
        actions.index("dissolve")
        < actions.index("adjust-ph")
        < actions.index("fill-to-mark")
        < actions.index("check-ph")
    )


def test_more_stock_than_volume_stops() -> None:
    """0.6 and 0.6 mol/L from 1 mol/L stocks: 60 + 60 mL into 100 mL."""
    found = consider(
        prepare(
            "100 mL",
            part("0.6 mol/L", "sodium chloride", "1 mol/L"),
            part("0.6 mol/L", "potassium chloride", "1 mol/L"),
        ),
        BENCH,
    )
    assert found.outcome == "refused"
    assert "parts-exceed-total" in {f.rule for f in found.findings if f.severity == "stop" and f.result == "fired"}


def test_titrant_is_counted_in_the_volume() -> None:
    """0.9 mol/L tris from a 1 mol/L stock fills 90 mL of 100; at pH 8 it needs 0.05 mol of acid: over 4 mL even at 12 mol/L."""
    tight = planned("100 mL", part("0.9 mol/L", "tris", "1 mol/L"), ph="8.0")
    assert sum(m.amount.value for m in tight.plan.measures) <= 100
    over = consider(prepare("100 mL", part("0.97 mol/L", "tris", "1 mol/L"), ph="7.2"), BENCH)
    assert over.outcome == "refused"
    assert "titrant-leaves-no-room" in {f.rule for f in over.findings if f.result == "fired"}


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("silver nitrate", "sodium chloride"),
        ("barium chloride", "sodium sulfate"),
        ("barium chloride", "potassium sulfate"),
    ],
)
def test_partners_that_precipitate_are_not_planned(one: str, other: str) -> None:
    water = {"barium chloride": "2", "sodium sulfate": "0"}
    found = consider(
        prepare(
            "100 mL", part("0.1 mol/L", one, water=water.get(one)), part("0.1 mol/L", other, water=water.get(other))
        ),
        BENCH,
    )
    assert found.outcome in ("held", "refused")


@settings(max_examples=40, deadline=None)
@given(
    volume=st.sampled_from(["50", "100", "250", "500", "1000"]),
    salt=st.decimals("0.01", "0.9", places=2),
    stock=st.decimals("1", "5", places=1),
)
def test_moles_are_conserved(volume: str, salt: object, stock: object) -> None:
    """What is poured carries exactly the moles the finished solution is to hold, and twice the volume takes twice as much."""
    parts = (part(f"{salt} mol/L", "sodium chloride", f"{stock} mol/L"), part("0.1 mol/L", "potassium chloride"))
    found, double = (
        consider(prepare(f"{volume} mL", *parts), BENCH),
        consider(prepare(f"{2 * int(volume)} mL", *parts), BENCH),
    )
    poured, weighed = found.plan.ingredients
    litres = int(volume) / 1000
    assert (poured.volume_mL or 0) * float(str(stock)) / 1000 == pytest.approx(float(str(salt)) * litres)
    assert (weighed.mass_g or 0) / 74.551 == pytest.approx(0.1 * litres, rel=1e-4)
    assert [(i.volume_mL or i.mass_g) for i in double.plan.ingredients] == pytest.approx(
        [2 * (i.volume_mL or i.mass_g or 0) for i in found.plan.ingredients]
    )
