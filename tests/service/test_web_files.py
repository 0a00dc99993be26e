"""The files of the web page as the service gives them out, and the endpoints made for it."""

import re
from typing import Any

import pytest

from service.api.examples_reading import ASKED, NOT_READ, READINGS
from service.api.web import FOLDER, POLICY, files
from tests.conftest import Running

BROWSER = {"Accept": "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8"}
SCRIPTS = sorted(FOLDER.glob("*.js"))


def test_a_browser_gets_the_page_and_a_program_gets_json(running: Running) -> None:
    page = running.get("/", headers=BROWSER)
    assert page.headers["content-type"].startswith("text/html") and "<title>Prepwright</title>" in page.text
    for accept in ("*/*", "application/json", "application/json, text/html"):
        found = running.get("/", headers={"Accept": accept})
        assert found.json()["name"] == "Prepwright"
        assert found.headers["vary"] == page.headers["vary"] == "Accept"


def test_the_page_may_load_only_its_own_files(running: Running) -> None:
    page = running.get("/", headers=BROWSER)
    assert page.headers.get_list("content-security-policy") == [POLICY]
    assert "unsafe" not in POLICY
    assert running.get("/v1/health").headers["content-security-policy"] == "default-src 'none'; frame-ancestors 'none'"
    assert page.headers["x-content-type-options"] == "nosniff" and page.headers["x-frame-options"] == "DENY"


def test_every_file_the_page_names_is_given_out(running: Running) -> None:
    page = running.get("/", headers=BROWSER).text
    named = set(re.findall(r'(?:src|href)="(/web/[^"]+)"', page))
    imported = {
        f"/web/{name}" for path in SCRIPTS for name in re.findall(r'from "\./([^"]+)"', path.read_text("utf-8"))
    }
    assert len(named) > 5 and len(imported) > 10
    for address in named | imported:
        found = running.get(address)
        assert found.status_code == 200, address
        again = running.get(address, headers={"If-None-Match": found.headers["etag"]})
        assert (again.status_code, again.content) == (304, b"")


@pytest.mark.parametrize("name", ["nothing.js", "..%2Fapi.py", "%2e%2e%2fapi.py", "page.html%00", "__init__.py"])
def test_nothing_else_is_given_out(running: Running, name: str) -> None:
    assert running.get(f"/web/{name}").status_code == 404


def test_no_script_can_turn_text_into_markup() -> None:
    forbidden = re.compile(
        r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function|setAttribute\(\"style|https?://(?!www\.w3\.org/2000/svg)"
    )
    assert len(SCRIPTS) > 15
    for path in SCRIPTS:
        assert forbidden.findall(path.read_text("utf-8")) == [], path.name
    for name, (content, _, _) in files().items():
        assert content.count(b"\n") <= 300, name


def test_the_examples_of_readings_are_what_is_read(running: Running) -> None:
    assert running.call("POST", "/v1/readings", json=ASKED).json() == READINGS["read"]
    assert running.call("POST", "/v1/readings", json={"text": NOT_READ}).json() == READINGS["not_read"]


def test_a_reading_is_not_stored(running: Running) -> None:
    before = running.get("/v1/health").json()["audit_head"]
    running.call("POST", "/v1/readings", json=ASKED)
    assert running.get("/v1/health").json()["audit_head"] == before
    assert running.get("/v1/plans").json()["plans"] == []


READ: list[tuple[str, list[tuple[str, str]]]] = [
    (
        "accurate 250 mL 0.1 M HCl from 37 % stock density 1.18",
        [
            ("substance", "HCl"),
            ("strength", "0.1 mol/L"),
            ("from", "a stock, 37 %, 1.18 g/mL"),
            ("amount", "250 mL"),
            ("for", "accurate work"),
        ],
    ),
    (
        "25 mL each for 12 pairs, 10 % spare, 0.1 M NaOH",
        [("substance", "NaOH"), ("strength", "0.1 mol/L"), ("portions", "12 pairs, 25 mL each, 10 % spare")],
    ),
    ("mix bleach with acid", [("substance", "bleach"), ("substance", "acid")]),
    (
        "7.98 g for 500 mL of 0.1 M copper sulfate pentahydrate - right?",
        [
            ("answer to check", "7.98 g"),
            ("substance", "copper sulfate pentahydrate"),
            ("strength", "0.1 mol/L"),
            ("amount", "500 mL"),
        ],
    ),
    (
        "calibration standards of 1 and 2 mg/L copper, 100 mL each, from a 1000 mg/L stock",
        [
            ("substance", "copper"),
            ("from", "a stock, 1000 mg/L"),
            ("strength", "1 mg/L"),
            ("strength", "2 mg/L"),
            ("each", "100 mL"),
        ],
    ),
]


@pytest.mark.parametrize(("text", "fields"), READ, ids=[text for text, _ in READ])
def test_what_is_read_stands_in_the_fields(running: Running, text: str, fields: list[tuple[str, str]]) -> None:
    found = running.call("POST", "/v1/readings", json={"text": text}).json()
    assert [(field["name"], field["value"]) for field in found["fields"]] == fields


@pytest.mark.parametrize("body", [{}, {"text": 5}, {"text": "salt", "more": 1}, []])
def test_a_wrong_body_is_a_problem(running: Running, body: Any) -> None:
    assert running.call("POST", "/v1/readings", json=body).status_code in (400, 422)


def test_solubility_by_temperature_with_its_source(running: Running) -> None:
    points = running.get("/v1/substances/copper-ii-sulfate").json()["solubility"]
    degrees = [point["temperature"]["value"] for point in points]
    assert degrees == sorted(degrees) and len(degrees) > 5
    at_20 = next(point for point in points if point["temperature"]["value"] == 20)
    grams = at_20["per_100g_water"]["value"]
    assert 19 < grams < 21  # about 20 g of CuSO4 in 100 g of water
    assert at_20["mass_fraction"]["value"] == pytest.approx(100 * grams / (100 + grams))
    assert all(point["citations"] for point in points)


def test_a_liquid_that_mixes_says_so(running: Running) -> None:
    found = running.get("/v1/substances/ethanol").json()
    assert "solubility" not in found and found["miscible"]["citation"]["source_id"]
