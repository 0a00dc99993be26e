"""Units as trade codes give the plan that the units give."""

from typing import Any

import pytest

from grammar.units import UNITS
from service.requests import UnreadableError, read
from service.unit_codes import CODES, in_own_units
from tests.conftest import Running


def _salt(strength: str, volume: str, value: str = "0.100", amount: str = "250") -> dict[str, Any]:
    return {
        "components": [{"solute": {"name": "sodium chloride"}, "strength": {"value": value, "unit": strength}}],
        "total": {"value": amount, "unit": volume},
    }


@pytest.mark.parametrize(
    ("coded", "plain"),
    [
        (_salt("C38", "MLT"), _salt("mol/L", "mL")),
        (_salt("C35", "LTR", amount="0.250"), _salt("mol/L", "L", amount="0.250")),
        (_salt("C36", "CMQ", "100"), _salt("mmol/L", "mL", "100")),
        (_salt("GL", "KGM", "5", "1"), _salt("g/L", "kg", "5", "1")),
        (_salt("P1", "GRM", "5", "200"), _salt("%", "g", "5", "200")),
    ],
)
def test_the_plan_is_the_same(running: Running, coded: dict[str, Any], plain: dict[str, Any]) -> None:
    first, second = running.ask(coded), running.ask(plain)
    assert first.status_code == 200
    assert first.headers["etag"] == second.headers["etag"]


def test_an_unknown_code_is_told_the_accepted_ones(running: Running) -> None:
    error = running.ask(_salt("C38", "GLL")).json()["errors"][0]
    assert error["pointer"] == "/request/total/unit"
    assert {"MLT", "LTR", "mL", "L", "GRM"} <= set(error["allowed"])
    assert "C38" not in error["allowed"]
    with pytest.raises(UnreadableError):
        read(_salt("MLT", "MLT"))  # a volume is no strength


def test_a_check_takes_codes_too(running: Running) -> None:
    body = {"request": _salt("C38", "MLT"), "claimed": {"value": "1.461", "unit": "GRM"}}
    assert running.call("POST", "/v1/checks", json=body).json()["answer"]["verdict"] == "right"


def test_every_code_stands_for_a_unit_there_is_and_hides_none() -> None:
    assert set(CODES.values()) <= set(UNITS)
    assert not set(CODES) & set(UNITS)


def test_names_are_left_alone_and_deep_nonsense_does_no_harm() -> None:
    assert in_own_units({"name": "MLT", "solute": ["GRM"]}) == {"name": "MLT", "solute": ["GRM"]}
    deep: Any = {"unit": "MLT"}
    for _ in range(3000):
        deep = {"a": deep}
    assert in_own_units(deep)["a"] is not None
