"""Texts with no safe reading: the code, a span inside the text, a remedy, and suggestions that work when sent."""

import json
from pathlib import Path

import pytest

import grammar
from grammar import read
from grammar.misreadings import FAILURES
from grammar.reader import LONGEST_TEXT
from grammar.request import Misread

CASES = [
    json.loads(line) for line in (Path(grammar.__file__).parent / "refusals.jsonl").open(encoding="utf-8")
]
CASES.append({"text": "0.1 M NaCl 100 mL " * 600, "code": "text-too-long"})


def misread(text: str) -> Misread:
    reading = read(text)
    assert isinstance(reading, Misread), reading
    return reading


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["text"][:60])
def test_refusal(case: dict[str, str]) -> None:
    reading = misread(case["text"])
    assert reading.code == case["code"]
    start, end = reading.span
    assert 0 <= start <= end <= len(case["text"])
    assert reading.message
    assert reading.remedy
    assert "{" not in reading.message


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["text"][:60])
def test_suggestions_get_further(case: dict[str, str]) -> None:
    reading = misread(case["text"])
    for suggestion in reading.suggestions:
        again = read(suggestion)
        assert not isinstance(again, Misread) or again.code != reading.code


def test_there_are_enough_cases() -> None:
    assert len(CASES) >= 80


def test_every_code_is_shown_by_a_case() -> None:
    assert {case["code"] for case in CASES} | {"two-source-strengths", "two-volumes-each"} == set(FAILURES)


@pytest.mark.parametrize(
    ("text", "piece"),
    [
        ("make 250 banana of 0.1 M KBr", "250 banana"),
        ("half a litre of 0.1 M KBr, 300 mL", "300 mL"),
        ("0.1 M KBr ½ L and −5 mL", "−5 mL"),
        ("CuSO4 · 5H2O 0.1 M, 12 500 mL", "12 500 mL"),
        ("a  quarter   molar KBr 1,000 mL", "1,000 mL"),
    ],
)
def test_span_points_at_the_text_as_typed(text: str, piece: str) -> None:
    start, end = misread(text).span
    assert text[start:end] == piece


def test_what_was_understood_is_shown() -> None:
    assert misread("0.1 M KBr 250 mL 500 mL").understood == {
        "strength": "0.1 mol/L",
        "volume": "250 mL",
        "substance": "KBr",
    }


def test_suggestion_keeps_the_rest_of_the_sentence() -> None:
    assert misread("Please: 1,000 mL of 1 M KBr").suggestions == (
        "Please: 1000 mL of 1 M KBr",
        "Please: 1.000 mL of 1 M KBr",
    )


def test_long_text_is_refused_before_it_is_read() -> None:
    assert misread("x" * (LONGEST_TEXT + 1)).code == "text-too-long"
