"""The quick look that spares ordinary requests the frames of questions never changes a reading."""

import json
from pathlib import Path

import pytest

from grammar import asking, read
from service.pipeline import known_names

CASES = Path(__file__).parents[1] / "cases"


def _texts() -> list[str]:
    lines = [json.loads(line) for file in sorted(CASES.glob("*.jsonl")) for line in file.read_text("utf-8").splitlines()]
    said = [message["say"] for line in lines for message in line.get("messages", ())]
    return [line["text"] for line in lines if isinstance(line.get("text"), str)] + said


def test_the_quick_look_changes_no_reading(monkeypatch: pytest.MonkeyPatch) -> None:
    texts = _texts()
    assert len(texts) > 2500
    quick = [read(text, known=known_names) for text in texts]

    class Always:
        def search(self, _text: str) -> bool:
            return True

    monkeypatch.setattr(asking, "_MAY_ASK", Always())
    assert [text for text, found in zip(texts, quick, strict=True) if read(text, known=known_names) != found] == []
