"""What a command of the bench record is about: a stored plan, or words that are planned and stored first."""

import re
import sys
from pathlib import Path
from typing import Any

from clients.api import Bench
from clients.cli.page import page_for
from clients.errors import AskError

_ID = re.compile(r"[0-9A-Za-z-]{10,12}\Z")
_MADE = ("planned", "held")


def plan_id(at: Bench, words: list[str]) -> str:
    """The id of a stored plan. Words that are no id are asked first; raises AskError where they give no plan."""
    if len(words) == 1 and _ID.match(words[0]):
        return words[0]
    if not words:
        raise AskError("Which plan? Give its id, or the request in words.")
    reply = at.planned(" ".join(words))
    if reply["outcome"] not in _MADE:
        said = (
            reply.get("problem", {}).get("message") or reply.get("question", {}).get("text") or reply.get("read_as", "")
        )
        options = tuple(o["label"] for o in reply.get("question", {}).get("options", ()))
        outcome = reply["outcome"]
        raise AskError(
            f"There is no plan to follow: the outcome is {outcome.replace('_', ' ')}.", (said, *options), outcome
        )
    found: str = reply["id"]
    return found


def write_pages(pages: bytes, out: str | None, name: str) -> int:
    """Write a PDF; the exit code. Raises AskError where the file cannot be written."""
    file = Path(out or f"{name}.pdf")
    try:
        file.write_bytes(pages)
    except OSError as error:
        raise AskError(f"{file} cannot be written: {error.strerror}.") from None
    print(f"written: {file}")
    return 0


def write_json(document: dict[str, Any]) -> None:
    """The document on standard output."""
    import json

    indent = 2 if sys.stdout.isatty() else None
    sys.stdout.buffer.write(json.dumps(document, ensure_ascii=False, indent=indent).encode() + b"\n")


def write_lines(title: str, lines: list[tuple[str, str]]) -> None:
    """A title, and one labelled line each."""
    page = page_for(sys.stdout)
    page.lines.append(page.paint(title, "strong"))
    for label, text in lines:
        page.item(f"  {label}", text, 20)
    sys.stdout.write(page.text())
