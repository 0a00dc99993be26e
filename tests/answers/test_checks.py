"""Answers put forward: the verdict, the right amount and the slip, as worked out apart from the project.

``tests/cases/checks.jsonl``: one sentence a line; ``value`` is the right amount in the fixed ``unit``, ``slips`` the
slips that give the claimed number, computed from the periodictable library or by hand as ``why`` says.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from grammar import canonical, read
from grammar.request import Check, to_document
from service import requests
from service.answers.slips import SLIPS
from service.pipeline import answer

CASES = [json.loads(line) for line in (Path(__file__).parents[1] / "cases" / "checks.jsonl").open(encoding="utf-8")]
KNOWN = {"text", "outcome", "verdict", "value", "unit", "rel", "slips", "why"}


def test_there_are_enough_and_each_says_why() -> None:
    assert len({case["text"] for case in CASES}) == len(CASES) >= 60
    assert all(set(case) <= KNOWN and case["why"] for case in CASES)
    planted = {slip for case in CASES for slip in case.get("slips", [])}
    named = {slip.id for slip in SLIPS}
    assert planted <= named
    assert len(planted) >= 20


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["text"])
def test_the_verdict_and_the_slip_are_as_worked_out(case: dict[str, Any]) -> None:
    reply = answer(case["text"])
    document = reply.document
    assert reply.outcome == case["outcome"], document.get("problem") or document.get("answer")
    assert "plan" not in document
    if "verdict" not in case:
        assert "answer" not in document
        return
    found = document["answer"]
    assert found["verdict"] == case["verdict"], found["text"]
    assert found["amount"]["unit"] == case["unit"]
    assert found["amount"]["value"] == pytest.approx(case["value"], rel=case["rel"]), case["why"]
    ids = [slip["id"] for slip in found["slips"]]
    assert set(case["slips"]) <= set(ids), f"{ids}: {found['text']}"
    assert ids == [] or case["slips"], f"nothing explains it, yet {ids} is named"
    assert all(slip["explanation"] in found["text"] for slip in found["slips"] if found["verdict"] == "wrong")


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["text"])
def test_a_check_reads_back_from_its_sentence_and_from_its_fields(case: dict[str, Any]) -> None:
    request = read(case["text"])
    assert isinstance(request, Check)
    assert read(canonical(request)) == request
    assert requests.read(to_document(request)) == request


def test_a_rounded_answer_says_how_strong_the_solution_comes_out() -> None:
    found = answer("I got 12 g for 500 mL of 0.1 M copper sulfate pentahydrate").document["answer"]
    assert "0.0961 mol/L instead of 0.1 mol/L" in found["text"]


def test_an_open_form_says_the_verdict_of_each_form() -> None:
    question = answer("I got 12.5 g for 500 mL of 0.1 M copper sulfate").document["question"]
    effects = {option["label"]: option["effect"] for option in question["options"]}
    assert effects["copper(II) sulfate pentahydrate"].endswith("so right")
    assert effects["anhydrous copper(II) sulfate"].endswith("so wrong")


def test_two_slips_with_one_number_are_both_named() -> None:
    found = answer("I got 2000 mL for 200 mL of 0.1 M sodium chloride from 1 M stock").document["answer"]
    assert {"stock-and-target-swapped", "power-of-ten"} <= {slip["id"] for slip in found["slips"]}
    assert "slips give that number" in found["text"]


def test_a_volume_without_a_unit_is_said() -> None:
    document = answer("is 3.58 g of washing soda in 250 right for 0.05 M").document
    assert "250 without a unit is read as 250 mL" in document["assumptions"]
