"""Raw titres in, judged strength out. Every number is worked out in the comments."""

from typing import Any

import pytest

from rules.standardising import due_days
from tests.conftest import Running
from tests.records.bench import PHTHALATE_RUNS, TITRATED, get, post, record


def titrate(running: Running, preparation: str, status: int = 201, **changed: Any) -> dict[str, Any]:
    return post(running, f"/v1/preparations/{preparation}/standardisations", {**TITRATED, **changed}, status)


@pytest.fixture
def hydroxide(running: Running) -> str:
    """4.05 g to 1 L: nominally 0.1 mol/L."""
    found: str = record(running, "1 L of 0.1 M sodium hydroxide", "4.05")["id"]
    return found


def test_three_concordant_titrations_are_accepted(running: Running, hydroxide: str) -> None:
    # 510.4/(204.2223 x 24.60) = 0.101595, 508.7/(204.2223 x 24.53) = 0.101546, 512.1/(204.2223 x 24.68) = 0.101603
    found = titrate(running, hydroxide)
    assert [run["strength"]["value"] for run in found["runs"]] == pytest.approx(
        [0.101595, 0.101546, 0.101603], abs=1e-6
    )
    assert found["mean"]["value"] == pytest.approx(0.101581, abs=1e-6)
    assert found["rsd_pct"] == pytest.approx(0.0306, abs=0.0005)
    assert found["factor"] == pytest.approx(1.01581, abs=1e-5)
    assert found["accepted"]
    assert found["next_due"]["date"] > found["at"][:10]
    assert get(running, hydroxide)["standardised"]["id"] == found["id"]


def test_the_blank_and_the_indicator_are_taken_off(running: Running, hydroxide: str) -> None:
    found = titrate(running, hydroxide, blank_mL="0.05", indicator_correction_mL="0.03")
    assert found["runs"][0]["titre_net"]["value"] == pytest.approx(24.54)
    assert found["runs"][0]["strength"]["value"] == pytest.approx(510.4 / (204.2223 * 24.54), abs=1e-6)


@pytest.mark.parametrize(
    ("runs", "unmet"),
    [
        (PHTHALATE_RUNS[:2], "runs that count"),
        ([*PHTHALATE_RUNS[:2], {"mass_g": "0.5121", "titre_mL": "24.50"}], "relative standard deviation"),
        (
            [{**run, "titre_mL": f"{float(run['titre_mL']) * 0.85:.2f}"} for run in PHTHALATE_RUNS],
            "difference from nominal",
        ),
    ],
)
def test_what_does_not_meet_the_limits_changes_nothing(
    running: Running, hydroxide: str, runs: list[Any], unmet: str
) -> None:
    before = get(running, hydroxide)
    found = titrate(running, hydroxide, runs=runs)
    assert not found["accepted"]
    assert unmet in [check["what"] for check in found["checks"] if not check["met"]]
    assert found["verdict"].startswith("Not accepted")
    assert get(running, hydroxide) == before
    assert len(running.get(f"/v1/preparations/{hydroxide}/standardisations").json()["standardisations"]) == 1


def test_a_run_left_out_stays_in_the_record(running: Running, hydroxide: str) -> None:
    rough = {"mass_g": "0.5121", "titre_mL": "25.70", "left_out": "rough titration"}
    found = titrate(running, hydroxide, runs=[rough, *PHTHALATE_RUNS])
    assert found["mean"]["value"] == pytest.approx(0.101581, abs=1e-6)
    assert found["runs"][0]["left_out"] == "rough titration"
    assert found["checks"][0]["found"] == "3"


def test_acid_against_carbonate_counts_two_for_one(running: Running) -> None:
    # 0.1300 g / 105.988 g/mol = 1.22656 mmol of carbonate takes 2.45311 mmol of acid; in 24.40 mL 0.100537 mol/L
    acid = record(running, "1 L of 0.1 M hydrochloric acid from concentrated", "8.3", unit="mL")["id"]
    runs = [{"mass_g": "0.1300", "titre_mL": titre} for titre in ("24.40", "24.42", "24.39")]
    problem = titrate(running, acid, 422, against="sodium carbonate", runs=runs)
    assert "anhydrous sodium carbonate" in problem["errors"][0]["allowed"]
    found = titrate(running, acid, against="anhydrous sodium carbonate", runs=runs)
    assert found["standard"]["titrant_per_standard"] == 2
    assert found["runs"][0]["strength"]["value"] == pytest.approx(0.100537 * 24.40 / 24.38, abs=2e-6)


def test_against_a_solution_that_was_itself_standardised(running: Running, hydroxide: str) -> None:
    # 25.00 mL of the alkali at 0.101581 takes 24.90 mL of the acid: 0.101581 x 25.00 / 24.90 = 0.101989 mol/L
    acid = record(running, "1 L of 0.1 M hydrochloric acid from concentrated", "8.3", unit="mL")["id"]
    against = {
        "against": "sodium hydroxide",
        "standard_solution": {"preparation": hydroxide},
        "runs": [{"volume_mL": "25.00", "titre_mL": titre} for titre in ("24.90", "24.91", "24.89")],
        "blank_mL": "0",
    }
    body = {key: value for key, value in TITRATED.items() if key not in ("assay", "balance")} | against
    path = f"/v1/preparations/{acid}/standardisations"
    nominal = post(running, path, body)
    assert not nominal["accepted"]
    assert nominal["checks"][-1]["found"] == "nominal"
    titrate(running, hydroxide)
    found = post(running, path, body)
    assert found["accepted"]
    assert found["mean"]["value"] == pytest.approx(0.101989, abs=3e-6)
    turned = post(running, path, {**body, "in_burette": "standard"})
    assert turned["mean"]["value"] == pytest.approx(0.101581 * 24.90 / 25.00, abs=3e-6)


@pytest.mark.parametrize(
    ("changed", "pointer"),
    [
        ({"against": "sodium chloride"}, "/against"),
        ({"runs": [{"titre_mL": "24.6"}]}, "/runs/0/mass_g"),
        ({"runs": [{"titre_mL": "0.01", "mass_g": "0.5"}] * 3}, "/runs"),
        ({"runs": PHTHALATE_RUNS[:1]}, "/runs"),
        ({"burette_mL": "33"}, "/burette_mL"),
        ({"balance": "kitchen"}, "/balance"),
        ({"in_burette": "standard"}, "/in_burette"),
        ({"standard_solution": {"mol_L": "0.1"}, "assay": {"value": "100"}}, "/standard_solution/U_mol_L"),
    ],
)
def test_a_field_that_does_not_fit_is_named(
    running: Running, hydroxide: str, changed: dict[str, Any], pointer: str
) -> None:
    problem = titrate(running, hydroxide, 422, **changed)
    assert pointer in [error["pointer"] for error in problem["errors"]]


def test_what_no_table_row_titrates_is_not_standardised(running: Running) -> None:
    sugar = record(running, "250 mL of 0.100 M sucrose", "8.557")["id"]
    assert titrate(running, sugar, 409)["type"] == "/problems/cannot-be-standardised"
    failed = record(running, "1 L of 0.1 M sodium hydroxide", "4.05", outcome="overshot")["id"]
    assert titrate(running, failed, 409)["type"] == "/problems/cannot-be-standardised"


def test_the_next_titration_is_due_before_the_solution_ends() -> None:
    assert due_days("ammonium-iron-ii-sulfate", 7)[0] == 0
    assert due_days("sodium-thiosulfate", 90)[0] == 28
    assert due_days("potassium-permanganate", 14)[0] == 14
