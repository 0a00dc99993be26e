"""The sum of a class set, checked against sums done by hand."""

from decimal import Decimal
from typing import Any

import pytest

from grammar.request import Portions, Quantity
from service.days.class_sets import class_set, sum_lines
from service.planner.totals import class_total
from tests.conftest import Running


def volume(value: str, unit: str = "mL") -> dict[str, Any]:
    return {"value": Decimal(value), "unit": unit}


def total(told: dict[str, Any]) -> Decimal:
    return class_total(class_set(told)[0]).value


@pytest.mark.parametrize(
    ("told", "by_hand"),
    [
        # 24 students alone, 50 mL: 24 x 50 = 1200
        ({"students": 24, "each": volume("50")}, "1200"),
        # 24 in pairs are 12; 12 x 2 sections x (3 x 25 + 2 x 5) = 24 x 85 = 2040; and 10 % = 204
        ({"students": 24, "group_size": 2, "sections": 2, "each": volume("25"), "repeats": 3, "rinse": volume("5"),
          "rinses": 2, "spare_percent": Decimal(10)}, "2244"),
        # 25 in pairs are 13, for one is left over; 13 x (40 + 2.5) = 552.5
        ({"students": 25, "group_size": 2, "each": volume("40"), "dead_volume": volume("2.5")}, "552.5"),
        # 22 in threes are 8; 8 x 0.1 L = 800 mL; and 12.5 % = 100
        ({"students": 22, "group_size": 3, "each": volume("0.1", "L"), "spare_percent": Decimal("12.5")}, "900"),
        # a third of a millilitre is kept to the digit: 7 x 0.3 = 2.1
        ({"students": 7, "each": volume("0.3")}, "2.1"),
    ],
)  # fmt: skip
def test_the_total_is_the_sum_by_hand(told: dict[str, Any], by_hand: str) -> None:
    assert total(told) == Decimal(by_hand)


def test_a_plan_of_its_own_takes_a_class_set(running: Running) -> None:
    told = {"students": 24, "group_size": 2, "each": {"value": "20", "unit": "mL"}, "repeats": 2, "spare_percent": "10"}
    body = {"text": "0.1 M sodium chloride", "class_set": told}
    reply = running.call("POST", "/v1/plans", json=body).json()
    # 12 pairs x 2 x 20 mL = 480 mL, and a tenth: 528 mL
    assert reply["plan"]["product"]["volume"]["value"] == 528.0
    for line in ("24 students in pairs: 12 pairs", "2 repeats x 20 mL = 40 mL for each pair"):
        assert line in reply["assumptions"]
    assert running.get(f"/v1/plans/{reply['id']}").json() == reply
    again = running.ask(reply["request"]).json()
    assert again["plan"]["measure"] == reply["plan"]["measure"]


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({"text": "1 L of 0.1 M NaCl", "class_set": {"students": 2, "each": {"value": 5, "unit": "mL"}}}, "/class_set"),
        (
            {"text": "molar mass of NaCl", "class_set": {"students": 2, "each": {"value": 5, "unit": "mL"}}},
            "/class_set",
        ),
        (
            {"text": "0.1 M NaCl", "class_set": {"students": 0, "each": {"value": 5, "unit": "mL"}}},
            "/class_set/students",
        ),
        (
            {"text": "0.1 M NaCl", "class_set": {"students": 2, "each": {"value": 5, "unit": "g"}}},
            "/class_set/each/unit",
        ),
        ({"text": "0.1 M NaCl", "class_set": None}, "/class_set"),
    ],
)
def test_a_class_set_that_cannot_be_used_is_named(running: Running, body: dict[str, Any], pointer: str) -> None:
    refused = running.call("POST", "/v1/plans", json=body)
    assert refused.status_code == 422
    assert [error["pointer"] for error in refused.json()["errors"]] == [pointer]


def test_words_with_a_class_set_are_judged_as_words_too(running: Running) -> None:
    told = {"students": 4, "each": {"value": "5", "unit": "mL"}}
    for words, outcome in (("0.1 M nitroglycerin", "refused"), ("10 banana", "not_understood")):
        alone = running.ask(words).json()["outcome"]
        assert (
            running.call("POST", "/v1/plans", json={"text": words, "class_set": told}).json()["outcome"]
            == alone
            == outcome
        )


@pytest.mark.parametrize(
    ("text", "pair", "student"),
    [
        # 12 x 50 = 600 or 24 x 50 = 1200; 13 x 20 = 260 or 25 x 20 = 500
        ("24 students in pairs, 50 mL each of 0.1 M NaCl", 600.0, 1200.0),
        ("0.1 M NaCl for a class of 25 working in pairs, 20 mL each", 260.0, 500.0),
    ],
)
def test_each_of_whom_is_asked(running: Running, text: str, pair: float, student: float) -> None:
    reply = running.ask(text).json()
    assert reply["outcome"] == "question"
    options = [running.ask(option["request"]).json() for option in reply["question"]["options"]]
    assert [one["plan"]["product"]["volume"]["value"] for one in options] == [pair, student]


@pytest.mark.parametrize(
    "text", ["24 students in pairs, 50 mL per pair of 0.1 M NaCl", "12 pairs, 50 mL each of 0.1 M NaCl"]
)
def test_each_pair_is_not_asked_about(running: Running, text: str) -> None:
    assert running.ask(text).json()["plan"]["product"]["volume"]["value"] == 600.0


def test_every_line_of_the_sum_is_said() -> None:
    told = {"students": 25, "group_size": 2, "sections": 3, "each": volume("20"), "repeats": 2, "rinse": volume("10"),
            "dead_volume": volume("5"), "spare_percent": Decimal(20)}  # fmt: skip
    portions, lines = class_set(told)
    assert lines == [
        "25 students in pairs: 13 pairs, the last with 1",
        "2 repeats x 20 mL = 40 mL for each pair",
        "1 rinse x 10 mL = 10 mL for each pair",
        "5 mL dead volume for each pair",
        "40 + 10 + 5 = 55 mL for each pair",
        "13 pairs x 55 mL x 3 classes = 2145 mL",
        "20 % spare: 429 mL, 2574 mL in all",
    ]
    assert (portions.count, portions.sets, portions.who) == (13, 3, "pairs")


def test_portions_read_from_words_are_summed_alike() -> None:
    portions = Portions(24, Quantity(Decimal(50), "mL"), 3, Decimal(10))
    assert sum_lines(portions) == ["24 students x 50 mL x 3 classes = 3600 mL", "10 % spare: 360 mL, 3960 mL in all"]
