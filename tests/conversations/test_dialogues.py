"""Whole dialogues, message by message. Each is played as typed, and again with the state stored and read back."""

import json
from pathlib import Path
from typing import Any

import pytest

from service.bench import default_bench
from service.conversations.state import State, from_json, to_json
from service.conversations.turn import turn

FILE = Path(__file__).parent.parent / "cases" / "dialogues.jsonl"
DIALOGUES: list[dict[str, Any]] = [json.loads(line) for line in FILE.read_text("utf-8").splitlines()]
# What a wanted value is compared with, and in which unit the reply gives it.
AMOUNTS = {"g": "g", "mL": "mL"}


def _said(document: dict[str, Any]) -> str:
    answer, problem = document.get("answer", {}), document.get("problem", {})
    return " ".join(
        (answer.get("text", ""), document.get("question", {}).get("text", ""), *(str(v) for v in problem.values()))
    )


def _faults(document: dict[str, Any], wanted: dict[str, Any]) -> list[str]:
    faults = [
        f"{key}: {document[key]!r}, not {wanted[key]!r}"
        for key in ("taken_for", "outcome")
        if document[key] != wanted[key]
    ]
    for key, unit in AMOUNTS.items():
        if key in wanted:
            found = document.get("plan", {}).get("measure", [{}])[0].get("amount", {})
            if found.get("unit") != unit or found["value"] != pytest.approx(wanted[key], rel=1e-3):
                faults.append(f"{found}, not {wanted[key]} {unit}")
    if "mol_L" in wanted:
        found = document.get("answer", {}).get("amount", {})
        if found.get("unit") != "mol/L" or found["value"] != pytest.approx(wanted["mol_L"], rel=5e-4):
            faults.append(f"{found}, not {wanted['mol_L']} mol/L")
    question = document.get("question", {})
    if "about" in wanted and question.get("about") != wanted["about"]:
        faults.append(f"asks about {question.get('about')!r}, not {wanted['about']!r}")
    if "options" in wanted and len(question.get("options", ())) != wanted["options"]:
        faults.append(f"{len(question.get('options', ()))} options, not {wanted['options']}")
    if "code" in wanted and document.get("problem", {}).get("code") != wanted["code"]:
        faults.append(f"problem {document.get('problem')}, not {wanted['code']}")
    if "read_as" in wanted and wanted["read_as"] not in document.get("read_as", ""):
        faults.append(f"read as {document.get('read_as')!r}, without {wanted['read_as']!r}")
    if "assumes" in wanted and wanted["assumes"] not in document.get("assumptions", ()):
        faults.append(f"assumes {document.get('assumptions')}, not {wanted['assumes']!r}")
    if wanted.get("cited") and not document["answer"].get("citations"):
        faults.append("no citation")
    faults += [
        f"{part!r} is not in {_said(document)!r}" for part in wanted.get("has", ()) if part not in _said(document)
    ]
    return faults


def test_there_are_enough_dialogues_and_none_is_told_twice() -> None:
    assert len(DIALOGUES) >= 60
    assert len({d["title"] for d in DIALOGUES}) == len(DIALOGUES)


@pytest.mark.parametrize("dialogue", DIALOGUES, ids=lambda d: d["title"])
def test_dialogue(dialogue: dict[str, Any]) -> None:
    state: State | None = None
    stored: State | None = None
    for place, message in enumerate(dialogue["messages"], 1):
        taken = turn(state, message["say"], default_bench())
        again = turn(stored, message["say"], default_bench())
        assert again.reply.document == taken.reply.document
        assert _faults(taken.reply.document, message) == [], f"message {place}: {message['say']}"
        state = taken.state
        stored = from_json(json.loads(json.dumps(to_json(taken.state))))
        assert stored.request == state.request
