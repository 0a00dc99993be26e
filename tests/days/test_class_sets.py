"""The sum of a class set, checked against sums done by hand."""

from decimal import Decimal
from typing import Any

import pytest

from grammar.request import Portions, Quantity
from service.days.class_sets import class_set, sum_lines
from service.planner.totals import class_total


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
