"""The order of work and when things are ready."""

from typing import Any

import pytest

from tests.conftest import Running
from tests.days.test_prep_day import made


def place(day: dict[str, Any], line: int) -> dict[str, Any]:
    found: dict[str, Any] = next(one for one in day["preparations"] if line in [p["line"] for p in one["parts"]])
    return found


def test_a_stock_comes_before_what_is_diluted_from_it(running: Running) -> None:
    day = made(
        running,
        "250 mL of 0.01 M hydrochloric acid from 0.1 M stock",
        "500 mL of 0.1 M hydrochloric acid from 1 M stock",
        "1 L of 1 M hydrochloric acid from concentrated",
    )
    assert [place(day, line)["n"] for line in (3, 2, 1)] == [1, 2, 3]
    assert place(day, 1)["takes_from"][0]["preparation"] == 2
    # 250 mL x 0.01 / 0.1 = 25 mL, and 500 mL x 0.1 / 1 = 50 mL
    assert place(day, 1)["takes_from"][0]["amount"]["value"] == pytest.approx(25.0, rel=1e-12)
    assert place(day, 2)["takes_from"][0]["amount"]["value"] == pytest.approx(50.0, rel=1e-12)
    assert "50.00 mL of it goes into preparation 2" in place(day, 3)["cautions"][0]
    picked = {line["what"]: line.get("made_here") for line in day["pick_list"]}
    assert picked["1 mol/L hydrochloric acid"] == 1
    assert picked["0.1 mol/L hydrochloric acid"] == 2


def test_the_most_dangerous_is_made_first(running: Running) -> None:
    """Common practice, no source: the fume cupboard and what is dangerous before what is not."""
    day = made(
        running,
        "250 mL of 0.1 M ammonium chloride",
        "250 mL of 0.1 M sodium hydroxide",  # pellets are corrosive: CLP Annex VI, Skin Corr. 1A
        "250 mL of 1 M hydrochloric acid from concentrated",  # fumes
    )
    assert [place(day, line)["n"] for line in (3, 2, 1)] == [1, 2, 3]
    assert place(day, 3)["fume_cupboard"]
    assert "corrosive" in place(day, 2)["because"]


def test_drying_is_begun_first_and_a_titrant_is_standardised_at_the_end(running: Running) -> None:
    day = made(
        running,
        "1 L of 0.1 M sodium hydroxide, accurate",
        "250 mL of 0.0500 M potassium hydrogen phthalate, primary standard",
    )
    assert [task["do"] for task in day["order"]] == ["dry", "make", "make", "standardise"]
    titrant, standard = place(day, 1), place(day, 2)
    last = day["order"][-1]
    assert last["preparation"] == titrant["n"]
    # European Pharmacopoeia 8, 4.2.1: potassium hydrogen phthalate is the standard for sodium hydroxide
    assert f"against preparation {standard['n']}" in last["text"]
    drying = next(wait for wait in standard["waits"] if wait["kind"] == "drying")
    assert "constant mass" in drying["text"]
    assert "hours" not in drying  # as long as it takes: no figure is made up


def test_the_hours_of_drying_are_those_of_the_table(running: Running) -> None:
    day = made(running, "250 mL of 0.0500 M sodium oxalate, primary standard")
    drying = next(wait for wait in day["preparations"][0]["waits"] if wait["kind"] == "drying")
    assert drying["hours"] == 2.0  # common practice, no source: 105-110 C, 2 h


def test_what_is_never_dried_does_not_wait_for_drying(running: Running) -> None:
    """Common practice, no source: sulfamic acid is kept over a desiccant and not heated."""
    day = made(running, "250 mL of 0.1 M sulfamic acid, primary standard")
    (one,) = day["preparations"]
    assert all(wait["kind"] != "drying" for wait in one["waits"])
    assert all(task["do"] != "dry" for task in day["order"])
    steps = running.get(f"/v1/plans/{one['plan']}").json()["plan"]["steps"]
    assert "dry" not in [step["action"] for step in steps]
    assert "is not dried in an oven" in next(step["text"] for step in steps if step["action"] == "not-dried")


def test_without_a_standard_of_the_day_the_usual_ones_are_named(running: Running) -> None:
    day = made(running, "1 L of 0.1 M hydrochloric acid from concentrated, accurate")
    assert "sodium carbonate" in day["order"][-1]["text"]  # European Pharmacopoeia 8, 4.2.1


def test_permanganate_stands_for_a_week(running: Running) -> None:
    """Common practice, no source: a week, or near boiling for half an hour."""
    day = made(running, {"text": "1 L of 0.02 M potassium permanganate", "needed_by": "2027-01-20"})
    one = day["preparations"][0]
    assert one["ready"] == "2027-01-25"
    assert next(wait for wait in one["waits"] if wait["kind"] == "standing")["days"] == 7
    assert "needed on 2027-01-20 and ready on 2027-01-25" in one["cautions"][0]
