"""The strength worked out from what was really weighed, poured and made up to. The sums stand in the comments."""

import math
from typing import Any

import pytest

from tests.conftest import Running
from tests.records.bench import plan, post, record


def test_nickel_sulfate_weighed_short_is_not_what_was_asked_for(running: Running) -> None:
    # 13.08 g / 262.84 g/mol / 0.2500 L = 0.19906 mol/L; asked for 0.200, which allows 0.1995 to 0.2005
    made = record(running, "250 mL of 0.200 M nickel sulfate hexahydrate", "13.08")["made"]
    assert made["concentration"]["value"] == pytest.approx(0.199057, abs=5e-6)
    assert made["difference"]["percent"] == pytest.approx(-0.4715, abs=0.001)
    assert made["keeps_request"]["holds"] is False
    assert made["largest_cause"]["source"].startswith("assay")
    assert "certificate" in made["largest_cause"]["cure"]


@pytest.mark.parametrize(("assay", "strength"), [("98.5", 0.1476), ("100", 0.1498)])
def test_the_assay_of_the_certificate_counts(running: Running, assay: str, strength: float) -> None:
    # 3.5610 g x 0.985 / 237.683 g/mol / 0.1000 L = 0.14757; at 100 % 0.14982
    made = record(
        running,
        "make 100 mL of 0.150 M nickel chloride from the hexahydrate",
        "3.5610",
        lot="4711",
        assay={"value": assay},
        balance="BA",
        vessels=[{"nominal_mL": "100", "mark": "7"}],
    )["made"]
    assert made["concentration"]["value"] == pytest.approx(strength, abs=5e-5)
    assert made["concentration"]["display"] == f"{strength:.4f} mol/L"


def test_what_is_left_out_is_said(running: Running) -> None:
    said = record(running, "250 mL of 0.100 M sodium chloride", "1.4612")["assumptions"]
    assert any("no assay given" in one for one in said)
    assert any("planned vessel" in one for one in said)
    assert any("20 degC" in one for one in said)


def test_several_weighings_add_up_and_each_brings_its_doubt(running: Running) -> None:
    # 3 x 0.4870 g = 1.4610 g; three weighings on BA have sqrt(3) times the absolute uncertainty of one
    text = "250 mL of 0.100 M sodium chloride"
    once = record(running, text, "1.4610", balance="BA")
    thrice = record(running, text, "0.4870", "0.4870", "0.4870", balance="BA")
    assert thrice["made"]["concentration"]["value"] == pytest.approx(once["made"]["concentration"]["value"], rel=1e-9)

    def weighing(document: dict[str, Any]) -> float:
        return next(b["u_rel"] for b in document["made"]["uncertainty"]["budget"] if b["source"].startswith("weighing"))

    assert weighing(thrice) == pytest.approx(math.sqrt(3) * weighing(once), rel=1e-6)


def test_a_larger_flask_than_planned_gives_a_weaker_solution(running: Running) -> None:
    made = record(running, "250 mL of 0.100 M sodium chloride", "1.4610", vessels=[{"nominal_mL": "500"}])["made"]
    assert made["concentration"]["value"] == pytest.approx(0.05, rel=1e-4)
    assert made["volume"]["value"] == 500


def test_made_up_warm_it_is_stronger_once_at_twenty(running: Running) -> None:
    # water 0.998207 g/mL at 20 and 0.997047 at 25 degC; glass 9.9e-6 per K: 1.001163 / 1.0000495 = +0.1114 %
    text = "250 mL of 0.100 M sodium chloride"
    cold = record(running, text, "1.4610")["made"]["concentration"]["value"]
    warm = record(running, text, "1.4610", temperature_degC="25")["made"]["concentration"]["value"]
    assert warm / cold - 1 == pytest.approx(0.001114, abs=5e-6)


def test_a_reading_of_the_temperature_lessens_its_doubt(running: Running) -> None:
    text = "250 mL of 0.100 M sodium chloride"
    budgets = [
        record(running, text, "1.4610", **more)["made"]["uncertainty"]["budget"]
        for more in ({}, {"temperature_degC": "20"})
    ]
    without, read = (next(b["u_rel"] for b in budget if b["source"].startswith("temperature")) for budget in budgets)
    assert read < without / 4


def test_a_concentrated_reagent_by_its_own_assay(running: Running) -> None:
    # the plan counts on 37.2 % at 1.18 g/mL; at 36.0 % and 1.179 g/mL the ratio is 36.0 x 1.179 / (37.2 x 1.18) = 0.96692
    text = "2.5 L of 0.1 M HCl from the conc, bottle says 37.2 %, density 1.18"
    planned = record(running, text, "20.76", unit="mL")["made"]["concentration"]["value"]
    other = record(running, text, "20.76", unit="mL", assay={"value": "36.0"}, density_g_mL="1.179")
    assert other["made"]["concentration"]["value"] / planned == pytest.approx(0.96692, abs=1e-5)


def test_each_component_of_a_mixture_has_its_own_strength(running: Running) -> None:
    reply = running.ask("1 L of 1x PBS").json()
    used = [
        {
            "measure": n,
            "readings": [f"{m['amount']['value'] * (1.01 if n == 1 else 1):.4f}"],
            "unit": m["amount"]["unit"],
        }
        for n, m in enumerate(reply["plan"]["measure"], 1)
    ]
    parts = post(running, f"/v1/plans/{reply['id']}/preparations", {"by": "PK", "used": used})["made"]["components"]
    assert parts[0]["difference"]["percent"] == pytest.approx(1.0, abs=0.01)
    assert [p["difference"]["percent"] for p in parts[1:]] == pytest.approx([0.0] * (len(parts) - 1), abs=0.05)


def test_the_class_is_that_of_the_strength_made(running: Running) -> None:
    # sodium hydroxide is corrosive from 2 % by mass, irritant from 0.5 %: 0.25 mol/L is 0.99 %, ten times the mass is not
    text = "100 mL of 0.25 M sodium hydroxide"
    mild, strong = (record(running, text, grams)["made"]["hazards"] for grams in ("1.000", "10.00"))
    assert "H314" not in [h["code"] for h in mild["h_statements"]]
    assert "H314" in [h["code"] for h in strong["h_statements"]]


def test_far_off_is_called_a_slip(running: Running) -> None:
    document = record(running, "250 mL of 0.100 M sodium chloride", "14.610")
    assert any("look for a slip" in one for one in document["cautions"])


def test_percent_by_mass_made_up_to_a_volume_is_given_per_litre(running: Running) -> None:
    # 25.8 g / 58.440 g/mol / 0.5000 L = 0.88296 mol/L; what it is by mass depends on a density nobody measured
    made = record(running, "500 mL of 5.0 % w/w sodium chloride", "25.8")["made"]
    assert made["concentration"]["unit"] == "mol/L"
    assert made["concentration"]["value"] == pytest.approx(0.88296, abs=1e-5)
    assert "keeps_request" not in made


def test_percent_by_mass_made_by_mass_counts_the_water_that_was_poured(running: Running) -> None:
    # 10.20 g in 10.20 + 189.9 = 200.1 g is 5.0975 %
    reply = running.ask("200 g of 5.0 % w/w sodium chloride").json()
    used = [{"measure": 1, "readings": ["10.20"], "unit": "g"}, {"measure": 2, "readings": ["189.9"], "unit": "g"}]
    made = post(running, f"/v1/plans/{reply['id']}/preparations", {"by": "PK", "used": used})["made"]
    assert made["concentration"]["value"] == pytest.approx(5.0975, abs=1e-4)
    assert made["concentration"]["display"] == "5.097 % w/w"


def test_normality_is_shown_as_it_was_asked(running: Running) -> None:
    # two equivalents a mole: 2.75 mL of the 2.7194 mL planned is 1.01126 x 0.1 N
    made = record(running, "1 L of 0.1 N sulfuric acid for acid-base titration", "2.75", unit="mL")["made"]
    assert made["concentration"]["display"] == "0.1011 N"
    assert made["concentration"]["value"] == pytest.approx(0.050563, abs=1e-6)


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({"used": []}, "/used"),
        ({"used": [{"readings": [], "unit": "g"}]}, "/used/0/readings"),
        ({"used": [{"readings": ["-1"], "unit": "g"}]}, "/used/0/readings/0"),
        ({"used": [{"readings": ["1e400"], "unit": "g"}]}, "/used/0/readings/0"),
        ({"used": [{"readings": ["1.46"], "unit": "mL"}]}, "/used/0/unit"),
        ({"used": [{"readings": ["1.46"], "unit": "stone"}]}, "/used/0/unit"),
        ({"used": [{"readings": ["1.46"], "unit": "g", "measure": 3}]}, "/used/0/measure"),
        ({"used": [{"readings": ["1.46"], "unit": "g", "balance": "the old one"}]}, "/used/0/balance"),
        ({"used": [{"readings": ["1.46"], "unit": "g", "source": "0000000000"}]}, "/used/0/source"),
        ({"used": [{"readings": ["1.46"], "unit": "g"}], "vessels": [{"nominal_mL": "333"}]}, "/vessels/0/nominal_mL"),
        ({"used": [{"readings": ["1.46"], "unit": "g"}], "temperature_degC": "90"}, "/temperature_degC"),
        ({"used": [{"readings": ["1.46"], "unit": "g"}], "colour": "blue"}, "/colour"),
        ({"used": [{"readings": ["1.46"], "unit": "g"}], "by": "a\nb"}, "/by"),
    ],
)
def test_a_field_that_does_not_fit_is_named(running: Running, body: dict[str, Any], pointer: str) -> None:
    path = f"/v1/plans/{plan(running, '250 mL of 0.100 M sodium chloride')}/preparations"
    problem = post(running, path, {"by": "PK", **body}, 422)
    assert pointer in [error["pointer"] for error in problem["errors"]]
