"""Requests worked out: amounts, questions, routes and steps. Masses from CIAAW atomic weights, by hand in the comments."""

import pytest

from service.pipeline import answer


def plan_of(text: str) -> dict:
    reply = answer(text)
    assert reply.outcome in ("planned", "held"), reply.document.get("problem") or reply.document.get("question")
    return reply.document["plan"]


def first(text: str) -> dict:
    return plan_of(text)["measure"][0]


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("0.0500 M copper sulfate pentahydrate, 100 mL", 1.24842, "g"),  # 0.1 L x 0.05 mol/L x 249.68 g/mol
        ("1 L of 0.1 M potassium hydroxide, assay 85 %", 6.6006, "g"),  # 5.6105 g / 0.85
        ("250 mL of 4 g/L sodium chloride", 1.0, "g"),
        ("250 mL of 100 mg/L copper from copper sulfate pentahydrate", 0.098228, "g"),  # 25 mg x 249.68 / 63.546
        ("10 % w/w sodium chloride, 250 g", 25.0, "g"),
        ("500 mL of 0.2 N sulfuric acid from 2 M stock", 25.0, "mL"),  # two equivalents a mole: 0.1 M
        ("100 mL of 20 mM sodium chloride from 5 M stock", 0.4, "mL"),
        ("250 mL of 0.9 % w/v sodium chloride", 2.25, "g"),
        ("500 mL of 30 % v/v glycerol", 150.0, "mL"),
        ("2 molal sodium chloride, 1 kg", 104.65, "g"),  # 2 x 58.44 g in 1116.88 g of solution
    ],
)
def test_amounts(text: str, value: float, unit: str) -> None:
    amount = first(text)["amount"]
    assert amount["unit"] == unit
    assert amount["value"] == pytest.approx(value, rel=1e-3)


def test_weight_percent_in_a_volume_goes_through_the_density() -> None:
    # 20 % w/w NaOH has a density of 1.219 g/mL at 20 degC (CRC Handbook, 98th ed., section 5): 600 mL hold 146 g, not 60 or 120 g.
    assert first("600 mL of 20 % w/w sodium hydroxide")["amount"]["value"] == pytest.approx(146.3, rel=0.005)


def test_a_mass_under_the_minimum_weight_goes_by_way_of_a_stock() -> None:
    plan = plan_of("100 mL of 0.00020 M potassium permanganate")
    assert plan["route"]["kind"] == "stock_then_dilute"
    assert [s["action"] for s in plan["steps"]].count("fill-to-mark") == 2
    assert plan["route"]["alternatives"]


def test_a_very_dilute_solution_takes_several_dilutions() -> None:
    plan = plan_of("100 mL of 0.5 umol/L potassium permanganate")
    assert plan["route"]["kind"] == "serial"


def test_moles_are_conserved_along_a_dilution_ladder() -> None:
    plan = plan_of("100 mL of 0.00020 M potassium permanganate")
    mass = plan["measure"][0]["amount"]["value"]
    lines = next(w["lines"] for w in plan["working"] if w["method"] == "formulas")
    factor = 1.0
    for line in lines:
        if "a factor of" in line:
            factor *= float(line.rsplit(" ", 1)[1])
    flask = float(next(s["text"] for s in plan["steps"] if s["action"] == "stock").split(" mL")[0].split()[-1])
    assert mass / 158.032 / flask * 1000 / factor == pytest.approx(0.00020, rel=1e-4)


def test_hydrates_offered_are_those_sold_with_their_masses() -> None:
    question = answer("500 mL of 0.1 M copper sulfate please").document["question"]
    assert question["about"] == "form"
    assert sorted(o["effect"] for o in question["options"]) == ["12.48 g", "7.980 g"]


def test_choosing_an_option_gives_the_plan_it_promised() -> None:
    from pydantic import TypeAdapter

    from grammar.request import Prepare

    for option in answer("500 mL of 0.1 M copper sulfate").document["question"]["options"]:
        chosen = answer(TypeAdapter(Prepare).validate_python(option["request"]))
        assert chosen.document["plan"]["measure"][0]["amount"]["display"] == option["effect"]


def test_steps_keep_the_order_of_the_trade() -> None:
    actions = [s["action"] for s in plan_of("100 mL of 0.150 M nickel chloride from the hexahydrate")["steps"]]
    order = [
        "weigh",
        "dissolve",
        "transfer",
        "rinse",
        "part-fill",
        "fill-to-mark",
        "dropper",
        "invert",
        "bottle",
        "label",
    ]
    places = [actions.index(a) if a in actions else actions.index("weigh-by-difference") for a in order]
    assert places == sorted(places)


def test_acid_goes_into_water() -> None:
    steps = plan_of("250 mL of 3 M sulfuric acid from 98 %, density 1.84")["steps"]
    step = next(s for s in steps if s["action"] == "acid-to-water")
    assert "never water" in step["caution"]


def test_same_text_same_document() -> None:
    assert answer("250 mL of 0.1 M sodium chloride").document == answer("250 mL of 0.1 M sodium chloride").document


@pytest.mark.parametrize("factor", [2, 4, 10])
def test_amounts_scale_with_the_volume(factor: int) -> None:
    once = first("100 mL of 0.1 M potassium bromide")["amount"]["value"]
    assert first(f"{100 * factor} mL of 0.1 M potassium bromide")["amount"]["value"] == pytest.approx(
        factor * once, rel=1e-12
    )
