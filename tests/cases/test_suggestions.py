"""Every suggestion offered for a text that was not understood leads on when it is sent."""

import json
from pathlib import Path
from typing import Any

import pytest

from service.pipeline import answer

HERE = Path(__file__).parent
TEXTS = [
    json.loads(line)["text"]
    for path in (HERE.parents[1] / "grammar" / "refusals.jsonl", HERE / "published_shapes.jsonl")
    for line in path.read_text(encoding="utf-8").splitlines()
    if line.strip()
]
REFUSED: list[tuple[str, dict[str, Any]]] = [
    (text, reply.document["problem"])
    for text in TEXTS
    if (reply := answer(text)).outcome == "not_understood" and "problem" in reply.document
]


def test_some_texts_are_refused_with_suggestions() -> None:
    assert sum(bool(problem.get("suggestions")) for _, problem in REFUSED) >= 20


@pytest.mark.parametrize(("text", "problem"), REFUSED, ids=[text[:50] for text, _ in REFUSED])
def test_suggestions_are_few_and_lead_on(text: str, problem: dict[str, Any]) -> None:
    offered = problem.get("suggestions", [])
    assert len(offered) <= 3
    for suggestion in offered:
        assert suggestion != text
        assert answer(suggestion).outcome not in ("not_understood", "refused"), suggestion


@pytest.mark.parametrize(("text", "problem"), REFUSED, ids=[text[:50] for text, _ in REFUSED])
def test_the_place_is_whole_words_of_the_text(text: str, problem: dict[str, Any]) -> None:
    if "span" not in problem or problem["code"] == "not-a-request":
        return
    start, end = problem["span"]
    assert 0 <= start < end <= len(text)
    for at in (start, end):
        inside = 0 < at < len(text) and text[at - 1].isalpha() and text[at].isalpha()
        assert not inside, f"{text[:at]}|{text[at:]}"


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("0.1 M sodium chlorid 250 mL", "0.1 M sodium chloride 250 mL"),
        ("0.1 M potasium bromidee 250 mL", "potassium bromide"),
    ],
)
def test_the_likely_meaning_is_offered(text: str, wanted: str) -> None:
    assert any(wanted in offered for offered in answer(text).document["problem"]["suggestions"])
