"""What is made from a stock follows the stock: strength, uncertainty and last day, down the whole line."""

import pytest

from tests.conftest import Running, StartApp
from tests.records.bench import TITRATED, get, post, record

STOCK = "1 L of 0.1 M sodium hydroxide"
DILUTED = "dilute 0.1 M sodium hydroxide to 250 mL of 0.01 M"
AGAIN = "dilute 0.01 M sodium hydroxide to 100 mL of 0.001 M"


def _line(running: Running) -> tuple[str, str, str]:
    """4.05 g to 1 L is 0.10126 mol/L; a tenth of that is 0.010126, and a tenth again 0.0010126."""
    stock = record(running, STOCK, "4.05")["id"]
    first = record(running, DILUTED, "25.00", unit="mL", source=stock, ware="25 mL one-mark pipette")["id"]
    second = record(running, AGAIN, "10.00", unit="mL", source=first)["id"]
    return stock, first, second


def test_a_dilution_takes_its_strength_from_the_stock_as_made(running: Running) -> None:
    stock, first, second = (get(running, one)["made"] for one in _line(running))
    assert stock["concentration"]["value"] == pytest.approx(0.101258, abs=5e-6)
    assert first["concentration"]["value"] == pytest.approx(stock["concentration"]["value"] / 10, rel=1e-9)
    assert second["concentration"]["value"] == pytest.approx(stock["concentration"]["value"] / 100, rel=1e-9)
    assert first["uncertainty"]["u_rel"] > stock["uncertainty"]["u_rel"]
    assert "nominal_until_standardised" in first


def test_standardising_the_stock_revalues_the_whole_line(start: StartApp, database: str) -> None:
    running = start(database)
    stock, first, second = _line(running)
    titrated = post(running, f"/v1/preparations/{stock}/standardisations", TITRATED)
    assert titrated["accepted"]
    assert [r["id"] for r in titrated["revalued"]] == [first, second]
    mean = titrated["mean"]["value"]
    for part, identity in ((1, stock), (10, first), (100, second)):
        document = get(running, identity)
        assert document["made"]["concentration"]["value"] == pytest.approx(mean / part, rel=1e-9)
        assert "nominal_until_standardised" not in document["made"]
        assert document["chain"][-1]["kind"] == ("standardised" if identity == stock else "revalued")
    assert get(running, stock)["made"]["basis"] == "standardised"
    assert titrated["revalued"][0]["was"] == "0.01013 mol/L"


def test_a_correction_of_the_stock_revalues_too(running: Running) -> None:
    stock, first, _ = _line(running)
    body = get(running, stock)["recorded"]
    body["used"][0]["readings"] = ["4.50"]
    post(running, f"/v1/preparations/{stock}/corrections", {"by": "PK", "reason": "misread", "record": body})
    # 4.50 g / 39.997 g/mol = 0.11251 mol/L
    assert get(running, first)["made"]["concentration"]["value"] == pytest.approx(0.011251, abs=1e-6)


def test_a_later_correction_of_weights_leaves_a_standardised_strength(running: Running) -> None:
    stock, _, _ = _line(running)
    mean = post(running, f"/v1/preparations/{stock}/standardisations", TITRATED)["mean"]["value"]
    body = get(running, stock)["recorded"]
    body["used"][0]["readings"] = ["4.06"]
    corrected = post(
        running, f"/v1/preparations/{stock}/corrections", {"by": "PK", "reason": "misread", "record": body}
    )
    assert corrected["made"]["concentration"]["value"] == pytest.approx(mean, rel=1e-9)


def test_it_keeps_no_longer_than_what_it_was_made_from(running: Running) -> None:
    stock = record(running, "100 mL of 0.1 M sodium thiosulfate pentahydrate", "2.482")
    made = record(running, "dilute 0.1 M sodium thiosulfate to 250 mL of 0.01 M", "25.0", unit="mL", source=stock["id"])
    assert made["use_by"]["date"] <= stock["use_by"]["date"]


def test_a_source_that_does_not_fit_is_refused(running: Running) -> None:
    salt = record(running, "250 mL of 0.100 M sodium chloride", "1.4610")["id"]
    problem = record(running, DILUTED, "25.00", unit="mL", source=salt, status=422)
    assert problem["errors"][0]["message"] == "is sodium chloride, not sodium hydroxide"
    failed = record(running, STOCK, "4.05", outcome="overshot")["id"]
    problem = record(running, DILUTED, "25.00", unit="mL", source=failed, status=422)
    assert problem["errors"][0]["pointer"] == "/used/0/source"


def test_nothing_is_made_from_itself(running: Running) -> None:
    _, first, second = _line(running)
    body = get(running, first)["recorded"]
    body["used"][0]["source"] = second
    problem = post(running, f"/v1/preparations/{first}/corrections", {"by": "PK", "reason": "x", "record": body}, 422)
    assert "itself" in problem["errors"][0]["message"]
