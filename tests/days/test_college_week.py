"""A week of the invented college: 26 requests over five prep days, every total compared with a sum done by hand.

Molar masses are those of periodictable, an outside library; volumes and strengths are written down again here.
"""

from typing import Any

import periodictable
import pytest

from tests.conftest import Running, StartApp
from tests.contract.shapes import shape_faults

PAIRS = {"students": 24, "group_size": 2, "sections": 2, "each": {"value": "25", "unit": "mL"}, "repeats": 3,
         "rinse": {"value": "5", "unit": "mL"}, "rinses": 2, "spare_percent": "10"}  # fmt: skip
THREES = {
    "students": 22,
    "group_size": 3,
    "each": {"value": "60", "unit": "mL"},
    "dead_volume": {"value": "5", "unit": "mL"},
}

WEEK: dict[str, list[dict[str, Any]]] = {
    "2027-01-18": [
        {"text": "500 mL of 0.100 M sodium chloride", "needed_by": "2027-01-18", "to": "Chemistry 1"},
        {"text": "0.1 M sodium chloride", "class_set": PAIRS, "needed_by": "2027-01-19", "to": "Chemistry 2"},
        {"text": "1 L of 1 M hydrochloric acid from concentrated", "to": "Chemistry 3"},
        {"text": "250 mL of 0.05 M hydrochloric acid from 1 M stock", "to": "Biology 1"},
        {"text": "500 mL of 0.1 M copper sulfate", "to": "Chemistry 1"},
        {"text": "500 mL of 6 M nitric acid", "to": "Chemistry 3"},
    ],
    "2027-01-19": [
        {"text": "1 L of 0.1 M sodium hydroxide, accurate"},
        {"text": "2 L of 0.100 M sodium hydroxide, accurate"},
        {"text": "250 mL of 0.0500 M potassium hydrogen phthalate, primary standard"},
        {"text": "500 mL of 0.1 M sodium hydroxide"},
        {"text": "mix bleach with hydrochloric acid"},
    ],
    "2027-01-20": [
        {"text": "0.2 M copper sulfate pentahydrate", "class_set": THREES},
        {"text": "250 mL of 0.2 mol/L copper(II) sulfate pentahydrate"},
        {"text": "250 mL of 0.2 M anhydrous copper sulfate"},
        {"text": "100 mL of 0.25 M CuSO4.5H2O"},
        {"text": "10 banana"},
    ],
    "2027-01-21": [
        {"text": "1 L of 0.02 M potassium permanganate"},
        {"text": "24 students, 20 mL each of 0.02 M potassium permanganate, 10 % spare"},
        {"text": "250 mL of 0.1 M sodium thiosulfate pentahydrate"},
        {"text": "500 mL of 0.5 M anhydrous sodium carbonate"},
        {"text": "what is the molar mass of NaCl?"},
    ],
    "2027-01-22": [
        {"text": "1 L of 1x PBS"},
        {"text": "500 mL of 1x PBS"},
        {"text": "500 mL of 0.9 % w/v sodium chloride"},
        {"text": "500 mL of 1 % starch solution", "needed_by": "2027-02-05"},
        {"text": "500 mL of 1 M sodium chloride", "needed_by": "2027-01-21"},
    ],
}

# Of each day: reagent, formula for periodictable, and (mL, mol/L) of everything it goes into.
# Class sets: 12 pairs x 2 classes x (3 x 25 + 2 x 5) mL = 2040 mL, and 10 % = 2244 mL; 22 in threes are 8, 8 x (60 + 5) = 520 mL;
# 24 x 20 mL = 480 mL, and 10 % = 528 mL.
BY_HAND: dict[str, list[tuple[str, str, list[tuple[float, float]]]]] = {
    "2027-01-18": [("sodium chloride", "NaCl", [(500, 0.1), (2244, 0.1)])],
    "2027-01-19": [
        ("sodium hydroxide", "NaOH", [(1000, 0.1), (2000, 0.1), (500, 0.1)]),
        ("potassium hydrogen phthalate", "KHC8H4O4", [(250, 0.05)]),
    ],
    "2027-01-20": [
        ("copper(II) sulfate pentahydrate", "CuSO4+5H2O", [(520, 0.2), (250, 0.2), (100, 0.25)]),
        ("anhydrous copper(II) sulfate", "CuSO4", [(250, 0.2)]),
    ],
    "2027-01-21": [
        ("potassium permanganate", "KMnO4", [(1000, 0.02), (528, 0.02)]),
        ("sodium thiosulfate pentahydrate", "Na2S2O3+5H2O", [(250, 0.1)]),
        ("anhydrous sodium carbonate", "Na2CO3", [(500, 0.5)]),
    ],
    "2027-01-22": [],
}
# Preparations of each day, and how the lines are merged.
MERGED: dict[str, list[list[int]]] = {
    "2027-01-18": [[1, 2], [3], [4]],
    "2027-01-19": [[1, 2], [3], [4]],
    "2027-01-20": [[1, 2], [3], [4]],
    "2027-01-21": [[1, 2], [3], [4]],
    "2027-01-22": [[1, 2], [3]],
}
APART: dict[str, list[tuple[int, str]]] = {
    "2027-01-18": [(5, "question"), (6, "held")],
    "2027-01-19": [(5, "refused")],
    "2027-01-20": [(5, "not_understood")],
    "2027-01-21": [(5, "answered")],
    "2027-01-22": [(4, "would_not_keep"), (5, "needed_before")],
}


@pytest.fixture
def week(start: StartApp, database: str) -> tuple[Running, dict[str, dict[str, Any]]]:
    running = start(database)
    found = {}
    for on, requests in WEEK.items():
        response = running.call("POST", "/v1/days", json={"date": on, "requests": requests})
        assert response.status_code == 201, response.text
        found[on] = response.json()
    return running, found


def test_the_week_from_an_empty_database(week: tuple[Running, dict[str, dict[str, Any]]]) -> None:
    running, days = week
    assert sum(map(len, WEEK.values())) == 26
    for on, day in days.items():
        assert shape_faults(day, "PrepDay") == []
        assert sorted([part["line"] for part in one["parts"]] for one in day["preparations"]) == MERGED[on], on
        assert [(one["lines"][0], one["why"]) for one in day["apart"]] == APART[on], on
        picked = {line["what"]: line["amount"] for line in day["pick_list"]}
        for what, formula, uses in BY_HAND[on]:
            grams = sum(volume * strength for volume, strength in uses) / 1000 * periodictable.formula(formula).mass
            assert picked[what]["value"] == pytest.approx(grams, rel=1e-4), (on, what)
            assert picked[what]["unit"] == "g"
        names = {one["name"] for one in day["preparations"]}
        assert "nitric acid" not in names
        # one plan for each preparation and for each that stands apart, and none for a line that was merged
        assert len({one["plan"] for one in (*day["preparations"], *day["apart"])}) == len(MERGED[on]) + len(APART[on])
    stored = running.get("/v1/plans?limit=200").json()["plans"]
    assert len(stored) == sum(map(len, MERGED.values())) + sum(map(len, APART.values())) == 21
    assert [line["date"] for line in running.get("/v1/days").json()["days"]] == list(WEEK)[::-1]


def test_the_order_of_each_day(week: tuple[Running, dict[str, dict[str, Any]]]) -> None:
    _, days = week
    for day in days.values():
        assert [one["n"] for one in day["preparations"]] == list(range(1, len(day["preparations"]) + 1))
        done: set[int] = set()
        for task in day["order"]:
            one = day["preparations"][task["preparation"] - 1]
            if task["do"] == "make":
                assert {taken["preparation"] for taken in one.get("takes_from", ())} <= done
                done.add(one["n"])
            elif task["do"] == "standardise":
                assert one["n"] in done
        assert done == {one["n"] for one in day["preparations"]}
    monday = days["2027-01-18"]["preparations"]
    # 1 L of the stock is asked for, and 250 mL x 0.05 / 1 = 12.5 mL of it are used
    assert (monday[0]["parts"][0]["line"], monday[-1]["takes_from"][0]["amount"]["value"]) == (3, 12.5)
    assert [task["do"] for task in days["2027-01-19"]["order"]] == ["dry", "make", "make", "make", "standardise"]


def test_saline_by_mass_in_volume(week: tuple[Running, dict[str, dict[str, Any]]]) -> None:
    """1.5 L of 8 g/L in PBS (Cold Spring Harbor Protocols, rec8247) and 500 mL of 0.9 g in 100 mL: 12 + 4.5 = 16.5 g."""
    _, days = week
    picked = {line["what"]: line["amount"]["value"] for line in days["2027-01-22"]["pick_list"]}
    assert picked["sodium chloride"] == pytest.approx(16.5, rel=1e-9)
    assert picked["potassium chloride"] == pytest.approx(0.3, rel=1e-9)
