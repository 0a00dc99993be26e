"""Sentences that ask for a value: outcome, value and unit as worked out apart from the project.

``tests/cases/questions.jsonl``: one sentence a line; ``value`` in the fixed ``unit`` within ``rel``, computed from the
atomic weights of the periodictable library or by hand as ``why`` says; ``shows`` are numbers that the options of a
question must show; ``source`` and ``locator`` name a printed worked example.
"""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from grammar import canonical, read
from grammar.request import Ask, Check, Combine, Prepare, to_document
from service import requests
from service.pipeline import answer
from tests.published.test_worked_examples import SOURCES

CASES = [json.loads(line) for line in (Path(__file__).parents[1] / "cases" / "questions.jsonl").open(encoding="utf-8")]
KNOWN = {"text", "outcome", "value", "unit", "rel", "about", "shows", "says", "why", "source", "locator"}


def outcomes(case: dict[str, Any]) -> list[str]:
    return case["outcome"] if isinstance(case["outcome"], list) else [case["outcome"]]


def test_there_are_enough_and_each_says_why() -> None:
    assert len({case["text"] for case in CASES}) == len(CASES) >= 120
    assert all(set(case) <= KNOWN and case["why"] for case in CASES)
    assert all(case["source"] in SOURCES and case["locator"] for case in CASES if "source" in case)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["text"])
def test_the_value_is_as_worked_out(case: dict[str, Any]) -> None:
    reply = answer(case["text"])
    document = reply.document
    assert reply.outcome in outcomes(case), (
        document.get("problem") or document.get("question") or document.get("answer")
    )
    if "value" in case:
        amounts = [m["amount"] for m in document.get("plan", {}).get("measure", [])]
        amounts += [document["answer"]["amount"]] if "answer" in document else []
        assert any(
            a["unit"] == case["unit"] and a["value"] == pytest.approx(case["value"], rel=case["rel"]) for a in amounts
        ), f"worked out {case['value']} {case['unit']} ({case['why']}), got {amounts}"
    else:
        assert "answer" not in document
    if "about" in case:
        assert document["question"]["about"] == case["about"]
    shown = [
        float(n) for o in document.get("question", {}).get("options", []) for n in re.findall(r"\d+\.?\d*", o["effect"])
    ]
    for value in case.get("shows", []):
        assert any(n == pytest.approx(value, rel=0.003) for n in shown), f"{value} not among {shown}"
    if "says" in case:
        assert case["says"] in document["answer"]["text"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["text"])
def test_a_question_reads_back_from_its_sentence_and_from_its_fields(case: dict[str, Any]) -> None:
    request = read(case["text"])
    if isinstance(request, Ask):
        assert read(canonical(request)) == request
        assert requests.read(to_document(request)) == request
    else:
        assert set(outcomes(case)) & {"planned", "not_understood"}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["text"])
def test_an_option_of_a_question_gives_what_it_shows(case: dict[str, Any]) -> None:
    for option in answer(case["text"]).document.get("question", {}).get("options", []):
        then = answer(requests.read(option["request"])).document
        if "answer" in then:
            assert option["effect"].startswith(then["answer"]["amount"]["display"])
        else:
            assert not re.search(r"\d", option["effect"])


@pytest.mark.parametrize(
    "text",
    [
        "250 mL of 0.1 M sodium chloride",
        "Zinc sulfate, ZnSO4.7H2O, for 0.1 M solution, in 1 L",
        "make 2.5 L of 0.1 M HCl from the conc, bottle says 37.2 %, density 1.18",
        "I need 500 mL of 0.1 M CuSO4.5H2O, is that ok?",
        "Hi! what mass of potassium iodide goes into 100 mL for 0.500 M?",
        "how much sodium chloride for 250 mL of 0.1 M",
        "is it ok to mix bleach with acid",
        "100 mL of 0.1 M HCl, molarity accurately known",
        "sodium chloride 0.1 M, 250 mL, right away please",
        "could I get 250 mL of 0.1 M NaCl",
    ],
)
def test_a_solution_to_make_stays_a_solution_to_make(text: str) -> None:
    assert isinstance(read(text), Prepare | Combine)


def test_a_value_keeps_the_figures_typed() -> None:
    request = read("what is the molarity of 5.850 g NaCl in 500.0 mL")
    assert isinstance(request, Ask)
    assert request.request.components[0].mass is not None
    assert str(request.request.components[0].mass.value) == "5.850"
    shown = answer(request).document["answer"]["amount"]["display"]
    assert shown == "0.2002 mol/L"


def test_what_nobody_makes_is_refused_whatever_is_asked_of_it() -> None:
    assert answer("molarity of 5 g of nitroglycerine in 100 mL").outcome == "refused"


@pytest.mark.parametrize(
    "document",
    [
        {"kind": "ask", "topic": "horoscope", "request": {"components": [{"solute": {"name": "sodium chloride"}}]}},
        {"kind": "ask", "topic": "convert", "request": {"components": [{"solute": {"name": "sodium chloride"}}]}},
        {"kind": "ask", "topic": "strength-made", "request": {"components": [{"solute": {"name": "sodium chloride"}}]}},
        {"kind": "ask", "topic": "moles", "to": "furlong", "request": {"components": [{"solute": {"name": "urea"}}]}},
        {"kind": "ask", "topic": "water-to-add", "request": {"components": [{"solute": {"name": "urea"}}]}},
        {"kind": "ask", "topic": "strength-diluted", "request": {"components": [{"solute": {"name": "urea"}}]}},
    ],
)
def test_typed_questions_that_lack_something_are_told_so(document: dict[str, Any]) -> None:
    reply = answer(requests.read(document))
    assert reply.outcome in ("not_understood", "question")
    assert "answer" not in reply.document


def test_checks_are_no_questions() -> None:
    assert isinstance(read("is 3.58 g of washing soda in 250 right for 0.05 M"), Check)
