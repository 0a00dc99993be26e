"""Other ways to make it: what they need, that they give the same strength, and why the first was chosen."""

import re

import pytest

from service.pipeline import answer

MASS = {"g": 1.0, "mg": 1e-3, "kg": 1e3}


def route(text: str) -> dict:  # type: ignore[type-arg]
    plan = answer(text).document["plan"]
    found: dict = {**plan["route"], "u": plan["uncertainty"]["u_rel"]}  # type: ignore[type-arg]
    return found


def amounts(summary: str, unit: str = "mL") -> list[float]:
    return [float(n) for n in re.findall(rf"([\d.]+) {unit}\b", summary)]


@pytest.mark.parametrize("text", [
    "250 mL of 0.1 M sodium chloride", "330 mL of 0.1 M sodium chloride", "1 L of 0.1 M HCl from 37 % density 1.18",
    "100 mL of 0.001 M NaCl from 1 M NaCl", "100 mL of 0.00020 M potassium permanganate", "330 mL of 0.1 M HCl from 1 M HCl",
])  # fmt: skip
def test_up_to_three_with_what_they_need(text: str) -> None:
    found = route(text)
    assert 1 <= len(found["alternatives"]) <= 3
    for other in found["alternatives"]:
        assert other["transfers"] >= 1 and other["minutes"] > 0 and other["waste"]["value"] >= 0
        # The bottle, the assay and the room are in every way's uncertainty.
        assert 0.2 * found["u"] < other["u_rel"] < 5 * found["u"]
    assert "transfer" in found["why"] and "k = 1" in found["why"]


def test_a_strong_stock_is_offered_in_two_steps_of_the_same_strength() -> None:
    found = route("250 mL of 1 mM NaOH from 5 M NaOH")
    other = next(o for o in found["alternatives"] if o["kind"] == "serial")
    take, _, flask, second, final = amounts(other["summary"])
    assert 5.0 * take / flask * second / final == pytest.approx(0.001, rel=1e-9)
    assert take >= 1 and second >= 1
    assert other["u_rel"] < found["u"]
    assert "is possible" in found["why"]


def test_an_odd_volume_is_sized_up_with_its_mass() -> None:
    other = next(o for o in route("330 mL of 0.1 M sodium chloride")["alternatives"] if o["summary"].startswith("size up"))
    mass, volume = amounts(other["summary"], "g")[0], amounts(other["summary"])[0]
    assert mass / volume == pytest.approx(0.1 * 58.4428 / 1000, rel=2e-4)
    assert other["waste"]["value"] == pytest.approx(170.0)


def test_by_mass_adds_up_to_the_density() -> None:
    other = next(o for o in route("330 mL of 0.1 M sodium chloride")["alternatives"] if o["summary"].startswith("by mass"))
    solute, water = amounts(other["summary"], "g")[:2]
    density = float(re.findall(r"([\d.]+) g/mL", other["summary"])[0])
    assert (solute + water) / density == pytest.approx(330.0, rel=3e-4)


def test_a_stock_of_a_weighed_solid_keeps_the_strength() -> None:
    other = next(o for o in route("250 mL of 0.1 M sodium chloride")["alternatives"] if o["kind"] == "stock_then_dilute")
    mass = amounts(other["summary"], "g")[0]
    flask, take, final = amounts(other["summary"])
    assert mass / 58.4428 / flask * take / final * 1000 == pytest.approx(0.1, rel=2e-4)


def test_a_saturated_stock_is_not_offered() -> None:
    kinds = [o["kind"] for o in route("250 mL of 0.2 M potassium permanganate")["alternatives"]]
    assert "stock_then_dilute" not in kinds
