"""Every sentence of the phrasebook gives exactly its typed request; expected values were worked out by hand."""

import json
from pathlib import Path
from typing import Any

import pytest

import grammar
from grammar import canonical, read
from grammar.request import Combine, Prepare, Series, to_document

CASES = [json.loads(line) for line in (Path(grammar.__file__).parent / "phrasebook.jsonl").open(encoding="utf-8")]


def bare(document: Any) -> Any:
    """A request document without what only records the typing."""
    if isinstance(document, dict):
        return {k: bare(v) for k, v in document.items() if k not in ("as_typed", "read_as_notes")}
    return [bare(v) for v in document] if isinstance(document, list) else document


def test_phrasebook_is_large_and_without_repeats() -> None:
    assert len(CASES) >= 400
    assert len({case["text"] for case in CASES}) == len(CASES)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["text"])
def test_sentence_gives_its_request(case: dict[str, Any]) -> None:
    assert bare(to_document(read(case["text"]))) == case["request"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["text"])
def test_canonical_sentence_gives_the_same_request(case: dict[str, Any]) -> None:
    request = read(case["text"])
    assert isinstance(request, Prepare | Combine | Series)
    assert read(canonical(request)) == request
