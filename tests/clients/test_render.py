"""A reply on the page: what to measure first, nothing left out that must be heeded, nothing that leads astray."""

from typing import Any

import pytest

from clients.cli.page import Page, clean
from clients.cli.render import reply
from clients.transport import InProcess
from tests.contract.test_replies import REQUESTS


def _page(document: dict[str, Any], width: int = 100, typed: str = "") -> list[str]:
    page = Page(width=width)
    reply(page, document, typed)
    return page.text().splitlines()


@pytest.fixture(scope="module")
def here() -> InProcess:
    return InProcess()


@pytest.mark.parametrize("width", [40, 100])
@pytest.mark.parametrize("text", REQUESTS, ids=lambda text: repr(text[:30]))
def test_every_reply_fits_the_page_and_says_what_matters(here: InProcess, text: str, width: int) -> None:
    document = here.ask(text)
    lines = _page(document, width, text)
    whole = " ".join(" ".join(lines).split())
    assert all(len(line) <= width for line in lines)
    for measure in document.get("plan", {}).get("measure", []):
        assert measure["amount"]["display"] in whole
    if "problem" in document:
        assert " ".join(clean(document["problem"]["message"]).split()[:3]) in whole
    for found in document.get("findings", []):
        grave = found["result"] == "fired" and found["severity"] in ("stop", "hold")
        if grave and "plan" in document:
            assert " ".join(clean(found["message"]).split()[:3]) in whole


def test_the_measures_come_before_the_checks_the_steps_and_the_sum(here: InProcess) -> None:
    lines = _page(here.ask("250.0 mL of 0.200 M nickel sulfate from the hexahydrate"))
    order = [
        next(n for n, line in enumerate(lines) if line.startswith(start))
        for start in ("HELD", "  HOLD", "  WEIGH", "  MAKE UP", "CHECKS", "STEPS", "WORKING", "THE SOLUTION")
    ]
    assert order == sorted(order)


def _amount(value: float, unit: str) -> dict[str, Any]:
    return {"value": value, "unit": unit, "display": f"{value:g} {unit}"}


def _plan(**parts: Any) -> dict[str, Any]:
    plan = {
        "product": {"substance": "salt", "volume": _amount(3000, "mL")},
        "measure": [{"what": "salt", "role": "solute", "amount": _amount(6, "g")}],
        "vessel": {
            "kind": "volumetric-flask",
            "words": "2000 mL flask",
            "nominal": _amount(2000, "mL"),
            "count": 1,
            "tolerance": _amount(0.6, "mL"),
        },
        "steps": [],
        "working": [],
        **parts,
    }
    return {"id": "draft-0123456789ab", "outcome": "planned", "plan": plan, "versions": {"rules": "r", "data": "d"}}


def test_a_stock_is_never_shown_as_if_it_were_made_up_in_one_go() -> None:
    route = {"kind": "stock_then_dilute", "why": "w", "alternatives": []}
    bare = "\n".join(_page(_plan(route=route)))
    assert "MAKE UP" not in bare
    assert "do not make this up in one go" in bare
    full = "\n".join(
        _page(
            _plan(
                route={
                    **route,
                    "stock_vessel": "20 mL flask",
                    "dilutions": [
                        {
                            "take": _amount(1, "mL"),
                            "using": "1 mL pipette",
                            "into": "100 mL flask",
                            "label": "0.0002 mol/L",
                        }
                    ],
                }
            )
        )
    )
    assert full.index("6 g") < full.index("20 mL flask") < full.index("1 mL pipette") < full.index("100 mL flask")


def test_several_fillings_say_that_the_amount_is_for_all() -> None:
    vessel = _plan()["plan"]["vessel"]
    portions = [
        {"vessel": "2000 mL flask", "volume": _amount(2000, "mL"), "amounts": [_amount(4, "g")]},
        {"vessel": "1000 mL flask", "volume": _amount(1000, "mL"), "amounts": [_amount(2, "g")]},
    ]
    said = "\n".join(_page(_plan(vessel={**vessel, "count": 2, "portions": portions})))
    assert "for all together" in said
    assert "1: 2000 mL with 4 g in 2000 mL flask" in said
    assert "2: 1000 mL with 2 g in 1000 mL flask" in said


def test_a_substance_without_a_classification_is_named() -> None:
    hazards = {"policy": "eu", "classes": [], "h_statements": [], "not_classified_here": ["salt"]}
    said = "\n".join(_page(_plan(hazards=hazards)))
    assert "salt: no classification is held here; take the supplier's safety data sheet" in said
    assert "no class at this strength" not in said
