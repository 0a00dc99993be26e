"""The phrasebook as a document: sentences with the request each is read as, and sentences that are turned back with the reason.

The two files stand beside the grammar; the tests hold every line of them against what is really read.
"""

import json
from functools import lru_cache
from pathlib import Path
from typing import Any

import grammar
from grammar import canonical, read
from grammar.request import Misread

_FOLDER = Path(grammar.__file__).parent


@lru_cache(maxsize=1)
def phrasebook() -> dict[str, Any]:
    """``requests`` (text, read_as, request) and ``refusals`` (text, code, message, remedy)."""
    return {
        "requests": [_read(line["text"]) | {"request": line["request"]} for line in _lines("phrasebook")],
        "refusals": [_refused(line["text"]) for line in _lines("refusals")],
    }


def _lines(name: str) -> list[dict[str, Any]]:
    return [json.loads(line) for line in (_FOLDER / f"{name}.jsonl").read_text(encoding="utf-8").splitlines()]


def _read(text: str) -> dict[str, Any]:
    found = read(text)
    return {"text": text, "read_as": "" if isinstance(found, Misread) else canonical(found)}


def _refused(text: str) -> dict[str, Any]:
    found = read(text)
    said = (found.code, found.message, found.remedy) if isinstance(found, Misread) else ("", "", "")
    return {"text": text, **dict(zip(("code", "message", "remedy"), said, strict=True))}
