"""Requests as practitioners type them, each with the outcome and the amount it must lead to.

``requests.jsonl`` holds one case a line: ``id``, ``text``, the outcomes allowed, and what may be checked in the reply:
``amount`` (value in g, mL or mol/L, unit, relative tolerance), ``never`` (the values a misreading would give), ``shows``
(values the options of a question must show), ``noplan`` (no plan may be given), ``route`` (kinds of route allowed).
The amounts were computed apart from this project, with periodictable and the densities in the texts.

``published_shapes.jsonl`` holds cases of the same form, written after the shapes of lines in laboratory manuals, exercises,
reagent tables and pharmacopoeias: the shape is theirs, the sentences and figures are made up here. A line with ``shape_of``
keeps the figures of the published line it is made after (site and page, or "from memory").

``manual_lines.jsonl`` holds more of these, by the kind of line: recipes under a heading, names with oxidation states, ions
by mass, media of a titration, buffers of two named parts.
"""

import json
import math
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from service.pipeline import answer

FILES = ("requests.jsonl", "published_shapes.jsonl", "manual_lines.jsonl")
CASES: list[dict[str, Any]] = [
    json.loads(line)
    for name in FILES
    for line in (Path(__file__).parent / name).read_text(encoding="utf-8").splitlines()
    if line.strip()
]
NEAR_A_MISREADING = 0.003
NEAR_A_SHOWN_VALUE = 0.002


def amounts(reply: dict[str, Any]) -> list[tuple[float, str]]:
    """Every amount a person could act on: what is measured, and the answer to a question."""
    found = [part["amount"] for part in reply.get("plan", {}).get("measure", [])]
    if "amount" in reply.get("answer", {}):
        found.append(reply["answer"]["amount"])
    return [(amount["value"], amount["unit"]) for amount in found if amount]


def numbers(node: Any) -> Iterator[float]:
    """Every number in a document, those written inside its sentences too."""
    if isinstance(node, dict):
        for value in node.values():
            yield from numbers(value)
    elif isinstance(node, list):
        for value in node:
            yield from numbers(value)
    elif isinstance(node, int | float) and not isinstance(node, bool):
        yield float(node)
    elif isinstance(node, str):
        for word in node.replace(",", " ").split():
            try:
                yield float(word.strip("()[];:"))
            except ValueError:
                continue


def faults(case: dict[str, Any], outcome: str, reply: dict[str, Any]) -> Iterator[str]:
    """What is wrong with the reply to a case, one sentence each; nothing when it holds."""
    if outcome not in case["outcome"]:
        yield f"outcome {outcome} instead of {' or '.join(case['outcome'])}"
    got = amounts(reply)
    want = case.get("amount")
    if want and outcome in ("planned", "held", "answered"):
        fits = (unit == want["unit"] and math.isclose(value, want["value"], rel_tol=want["rel"]) for value, unit in got)
        if not any(fits):
            yield f"amounts {got} lack {want['value']} {want['unit']}"
    for misread in case.get("never", ()):
        if any(math.isclose(value, misread, rel_tol=NEAR_A_MISREADING) for value, _ in got):
            yield f"the misread value {misread} appears"
    if case.get("noplan") and reply.get("plan"):
        yield "a plan was given"
    seen = list(numbers(reply.get("question"))) if case.get("shows") else []
    for value in case.get("shows", ()):
        if not any(math.isclose(number, value, rel_tol=NEAR_A_SHOWN_VALUE) for number in seen):
            yield f"the question does not show {value}"
    if case.get("route") and reply.get("plan") and reply["plan"]["route"]["kind"] not in case["route"]:
        yield f"route {reply['plan']['route']['kind']}"


@pytest.mark.parametrize("case", CASES, ids=[case["id"] for case in CASES])
def test_request_leads_to_the_right_outcome_and_amount(case: dict[str, Any]) -> None:
    reply = answer(case["text"])
    assert list(faults(case, reply.outcome, reply.document)) == []


def test_judgement_finds_each_kind_of_fault() -> None:
    case = {
        "outcome": ["planned"],
        "amount": {"value": 2.0, "unit": "g", "rel": 0.005},
        "never": [20.0],
        "noplan": True,
        "shows": [3.5],
        "route": ["dilute"],
    }
    reply = {
        "plan": {"measure": [{"amount": {"value": 20.0, "unit": "g"}}], "route": {"kind": "weigh"}},
        "question": {"options": [{"effect": "3.4 g"}]},
    }
    found = " ".join(faults(case, "held", reply))
    for part in ("outcome held", "lack 2.0 g", "misread value 20.0", "a plan was given", "not show 3.5", "route weigh"):
        assert part in found


def test_every_case_is_told_apart_and_typed_once() -> None:
    assert len({case["id"] for case in CASES}) == len(CASES)
    assert len({case["text"] for case in CASES}) == len(CASES)
