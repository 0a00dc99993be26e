"""Every slip, planted in random requests, is found again; and nothing is named whose number is another."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.request import Check, Component, Named, Portions, Prepare, Quantity, Source
from service.answers.checking import check
from service.answers.facts import Facts, of_plan, of_strength
from service.answers.slip import Slip
from service.answers.slips import SLIPS, numbers, reach, slips_for
from service.answers.terms import Answer, base
from service.bench import default_bench
from service.pipeline import consider
from service.planner.figures import round_figures

BENCH = default_bench()
SOLIDS = [
    ("copper(II) sulfate", "5"),
    ("sodium carbonate", "10"),
    ("sodium thiosulfate", "5"),
    ("zinc sulfate", "7"),
    ("magnesium sulfate", "7"),
    ("calcium chloride", "2"),
    ("sodium chloride", None),
    ("potassium iodide", None),
    ("sodium carbonate", "0"),
]
strength = st.sampled_from(["0.05", "0.075", "0.1", "0.125", "0.15"])
volume = st.sampled_from([("25", "mL"), ("250", "mL"), ("500", "mL"), ("200", "mL"), ("2", "L"), ("0.5", "L")])


def quantity(value: str, unit: str) -> Quantity:
    return Quantity(Decimal(value), unit)


@st.composite
def weighings(draw: st.DrawFn) -> Prepare:
    """A solid for a molar solution, some of a stated purity, one a strength counted as an element, one by percent."""
    name, water = draw(st.sampled_from(SOLIDS))
    kind = draw(st.sampled_from(["plain", "plain", "assay", "element", "percent", "normal", "by-mass"]))
    total = quantity(*draw(volume))
    solute, made, source = Named(name, water=water), quantity(draw(strength), "mol/L"), None
    if kind == "assay":
        source = Source("solid", purity=quantity(draw(st.sampled_from(["85", "90", "95.5"])), "%"))
    elif kind == "element":
        solute, made = Named("copper(II) sulfate", water="5"), Quantity(Decimal("750"), "mg/L", "Cu")
    elif kind == "percent":
        made = quantity(draw(st.sampled_from(["1.5", "2.5", "4"])), "% w/v")
    elif kind == "normal":
        solute, made = Named("oxalic acid", water="2"), quantity(draw(strength), "N")
    elif kind == "by-mass":
        solute, made = Named("sodium chloride"), quantity(draw(st.sampled_from(["10", "15"])), "% w/w")
    reaction = "acid-base titration" if kind == "normal" else None
    return Prepare((Component(solute, made, source=source, reaction=reaction),), total)


@st.composite
def dilutions(draw: st.DrawFn) -> Prepare:
    """A stock diluted, or hydrochloric acid from the bottle."""
    made, total = quantity(draw(strength), "mol/L"), quantity(*draw(volume))
    if draw(st.booleans()):
        stock = Source("stock", strength=quantity(draw(st.sampled_from(["0.8", "1", "1.5", "2.5"])), "mol/L"))
        return Prepare((Component(Named("sodium chloride"), made, source=stock),), total)
    bottle = Source("concentrated", strength=quantity("37", "% w/w"), density=quantity("1.18", "g/mL"))
    return Prepare((Component(Named("hydrochloric acid"), made, source=bottle),), total)


@st.composite
def results(draw: st.DrawFn) -> tuple[Prepare, str]:
    """What was weighed or diluted, with the topic of the strength that comes out."""
    total = quantity(*draw(volume))
    if draw(st.booleans()):
        source = Source(
            "stock", strength=quantity("2", "mol/L"), volume=quantity(draw(st.sampled_from(["5", "10"])), "mL")
        )
        return Prepare((Component(Named("sodium chloride"), source=source),), total), "strength-diluted"
    name, water = draw(st.sampled_from(SOLIDS))
    mass = quantity(draw(st.sampled_from(["1.25", "2.60", "4.75"])), "g")
    return Prepare((Component(Named(name, water=water), mass=mass),), total), "strength-made"


def facts_of(request: Prepare) -> Facts:
    judged = consider(request, BENCH)
    assert judged.outcome == "planned", (judged.outcome, request)
    item = judged.plan.main
    assert item is not None
    kind, right = ("volume", item.volume_mL) if item.volume_mL is not None else ("mass", item.mass_g)
    route = judged.plan.route
    if kind == "mass" and route is not None and route.dilutions:
        right = route.direct_mass_g
    assert right is not None
    return of_plan(judged.plan, item, kind, right)


def claim(value: float, unit: str) -> Quantity:
    return Quantity(Decimal(round_figures(value, 5)), unit)


def assert_every_number_is_found(request: Prepare, facts: Facts, unit: str) -> set[str]:
    planted = set()
    for wrong in numbers(facts):
        claimed = claim(wrong.value, unit)
        found = check(Check(request, claimed), BENCH, consider)
        assert isinstance(found, Answer)
        if found.more["verdict"] == "wrong":
            planted.add(wrong.id)
            assert wrong.id in [slip["id"] for slip in found.more["slips"]], (wrong, found.text)
            assert wrong.said in found.text or len([n for n in numbers(facts) if n.id == wrong.id]) > 1
        else:
            # Only what is as good as right may pass unnamed.
            assert abs(wrong.value / facts.right - 1) < 0.05
    return planted


@given(weighings())
@settings(max_examples=40, deadline=None)
def test_a_slip_in_a_mass_is_found(request: Prepare) -> None:
    assert assert_every_number_is_found(request, facts_of(request), "g") >= {"power-of-ten", "millilitres-as-litres"}


@given(dilutions())
@settings(max_examples=40, deadline=None)
def test_a_slip_in_a_volume_is_found(request: Prepare) -> None:
    assert "stock-and-target-swapped" in assert_every_number_is_found(request, facts_of(request), "mL")


@given(results())
@settings(max_examples=30, deadline=None)
def test_a_slip_in_a_strength_is_found(made: tuple[Prepare, str]) -> None:
    request, topic = made
    claimed = quantity("1", "mol/L")
    first = check(Check(request, claimed), BENCH, consider)
    assert isinstance(first, Answer)
    assert first.amount is not None
    facts = of_strength(Check(request, claimed), topic, first.amount.value, BENCH)
    assert "power-of-ten" in assert_every_number_is_found(request, facts, "mol/L")


@given(weighings(), st.decimals("0.001", "5000", places=3))
@settings(max_examples=60, deadline=None)
def test_no_slip_is_named_whose_number_is_another(request: Prepare, value: Decimal) -> None:
    facts = facts_of(request)
    claimed = Quantity(value, "g")
    for named in slips_for(facts, claimed):
        assert abs(named.value - base(claimed)) <= reach(claimed) <= 0.03 * base(claimed)


@given(weighings())
@settings(max_examples=30, deadline=None)
def test_the_right_amount_is_right(request: Prepare) -> None:
    facts = facts_of(request)
    found = check(Check(request, claim(facts.right, "g")), BENCH, consider)
    assert isinstance(found, Answer)
    assert found.more == {"verdict": "right", "slips": []}


def test_ids_are_unique_and_every_slip_says_what_was_done() -> None:
    assert len({slip.id for slip in SLIPS}) == len(SLIPS) >= 25
    assert all(slip.compute.__doc__ for slip in SLIPS)


BOTTLE = Source("concentrated", strength=quantity("37", "% w/w"), density=quantity("1.18", "g/mL"))
ONE_OF_EACH = [
    Component(Named("copper(II) sulfate", water="5"), quantity("0.1", "mol/L")),
    Component(Named("calcium chloride", water="2"), quantity("0.1", "mol/L")),
    Component(Named("copper(II) sulfate", water="5"), Quantity(Decimal("750"), "mg/L", "Cu")),
    Component(
        Named("potassium hydroxide"), quantity("0.1", "mol/L"), source=Source("solid", purity=quantity("85", "%"))
    ),
    Component(Named("oxalic acid", water="2"), quantity("0.1", "N"), reaction="acid-base titration"),
    Component(Named("hydrochloric acid"), quantity("0.1", "mol/L"), source=BOTTLE),
]


@pytest.mark.parametrize("slip", SLIPS, ids=lambda slip: slip.id)
def test_every_slip_can_be_made_somewhere(slip: Slip) -> None:
    every = [facts_of(Prepare((component,), quantity("500", "mL"))) for component in ONE_OF_EACH]
    every.append(facts_of(Prepare((ONE_OF_EACH[0],), portions=Portions(12, quantity("25", "mL")))))
    assert any(wrong.id == slip.id for facts in every for wrong in numbers(facts))
