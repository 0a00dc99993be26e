"""Each limit of a house reaches the check or the amount it is for."""

from typing import Any

import pytest

from rules.house import House
from rules.policies import policy
from service.bench import default_bench
from service.pipeline import answer
from service.policies.building import bench_under, house_of
from service.policies.shape import LocalPolicy
from tests.policies.test_local_policy import SALT, _document, _fired


def test_the_shipped_policy_is_what_the_rules_take_without_one() -> None:
    assert house_of(LocalPolicy()) == House()
    assert bench_under(LocalPolicy(), 0, default_bench()).policy.version == policy().version
    first = answer(SALT).document
    assert answer(SALT, bench_under(LocalPolicy(), 0, default_bench())).document == first


def test_each_limit_reaches_its_check() -> None:
    """Each limit is set where the request of the rule's own example falls on its other side."""
    cases: list[tuple[str, dict[str, Any], str, int]] = [
        ("0.5 M sodium hydroxide for 20 students, 50 mL each", {"students": {"acids_and_alkalis_mol_L": 0.4}}, "student-strength-cap", 1),
        ("0.5 M copper sulfate pentahydrate for 20 students, 50 mL each",
         {"students": {"caps": [{"substance": "copper-ii-sulfate", "most_mol_L": 0.1}]}}, "student-strength-cap", 1),
        ("50 L of 0.1 M sodium chloride", {"limits": {"large_mL": 60_000}}, "implausible-amount", 0),
        ("5 L of 2 M NaOH", {"limits": {"corrosive_bottle_mL": 5_000}}, "large-corrosive-volume", 0),
        ("0.5 M sodium hydroxide 500 mL", {"limits": {"caution_rise_K": 4, "hold_rise_K": 50}}, "heat-of-dissolving", 1),
        ("100 mL of 1e-9 M potassium permanganate", {"small_volumes": {"most_dilutions": 3}}, "too-many-dilution-steps", 0),
        ("1 L of 0.001 M KCl from 1 M stock", {"small_volumes": {"most_fold": 1000}}, "one-step-over-hundredfold", 0),
        ("100 mL of 0.001 M KCl from 1 M stock", {"small_volumes": {"least_pipetted_mL": 0.1}}, "pipette-minimum", 0),
        ("25 mL of 0.1 M sodium chloride", {"small_volumes": {"small_label_mL": 20}}, "small-bottle-label", 0),
        ("accurate 10 mL of 0.1000 M potassium chloride", {"tolerances": {"accurate_pct": 0.3}}, "vessel-tolerance-too-wide", 0),
    ]  # fmt: skip
    for text, local, rule, fires in cases:
        shipped = len(_fired(answer(text).document, rule))
        changed = _fired(_document(text, **local), rule)
        assert len(changed) == fires, (text, local)
        assert shipped != fires or changed != _fired(answer(text).document, rule), (text, local)


def test_tolerances_and_allowances_reach_the_amounts() -> None:
    window = answer(SALT).document["plan"]["measure"][0]["window"]
    wider = _document(SALT, tolerances={"usual_pct": 2.0})["plan"]["measure"][0]["window"]
    middle = (window["low"]["value"] + window["high"]["value"]) / 2
    assert wider["high"]["value"] - middle == pytest.approx(2 * (window["high"]["value"] - middle), rel=1e-6)
    spare = "0.10 M anhydrous sodium carbonate, 20 students, 50 mL each, no spare"
    said = _fired(_document(spare, allowances={"spare_pct": 15, "dead_volume_mL": 50}), "dead-volume-allowance")
    assert "15 % and 50 mL more, 1200 mL" in said[0]["message"]
    kept = _fired(_document("100 mL of 0.1 M caesium chloride", keeping={"shelf_life_days": 90}), "shelf-life-default")
    assert "at most 90 days" in kept[0]["message"]


def test_the_list_of_the_house_counts_by_strength_amount_and_group() -> None:
    entry = {"group": "chromate-vi", "above_mol_L": 0.2, "reason": "given up here"}
    local = {"ask_first": [entry]}
    text = "100 mL of {} M potassium chromate"
    own = [f for f in _fired(_document(text.format("0.25"), **local), "ask-first-list") if "this house" in f["message"]]
    said = "Potassium chromate at 0.250 mol/L is above 0.2 mol/L and is on the ask-first list of this house: given up here."
    assert own[0]["message"] == said
    assert not [f for f in _fired(_document(text.format("0.2"), **local), "ask-first-list") if "this house" in f["message"]]
    sugar = {"substance": "sucrose", "above_g": 10, "action": "refuse", "reason": "ants"}
    assert _document("100 mL of 0.1 M sucrose", ask_first=[sugar])["outcome"] == "planned"
    refused = _document("1 L of 0.1 M sucrose", ask_first=[sugar])  # 34.2 g
    assert (refused["outcome"], refused["problem"]["code"]) == ("refused", "ask-first-list")
    assert _document("100 mL of 0.1 M sucrose", ask_first=[{"substance": "sucrose", "reason": "ants"}])["outcome"] == "held"


def test_a_lower_precursor_limit_holds_what_the_law_lets_pass() -> None:
    text = "1 L of 0.4 M nitric acid from 70 % density 1.42"  # 2.5 % w/w, under the 3 % of the law
    assert answer(text).document["outcome"] == "planned"
    held = _document(text, precursors=[{"substance": "nitric-acid", "above_pct": 2.0}])
    assert held["outcome"] == "held"
    assert "2 % (LOCAL POLICY)" in _fired(held, "explosives-precursor")[0]["message"]
