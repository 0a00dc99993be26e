"""``prepwright chat``: a request, then changes of it, answers, and questions about the plan, one a line."""

import sys
from contextlib import suppress
from typing import Any

from clients.cli.page import Page, page_for
from clients.cli.render import reply
from clients.cli.text import well_formed
from clients.errors import AskError
from clients.transport import desk

_LEAVE = frozenset({":quit", ":q", "quit", "exit", "bye", "q"})
_NAME = "chat"
_WELCOME = """Type a request, such as: 250 mL of 0.1 M sodium chloride. Then change it (make that 500), answer (2),
or ask (which flask?). :state shows what is kept, :quit leaves."""
TAKEN_FOR = {
    "amendment": "taken for a change of the request",
    "answer": "taken for the answer",
    "question": "taken for a question about the plan",
    "new_request": "taken for a new request",
    "thanks": "taken for small talk",
    "not_understood": "not understood; what was asked before is kept",
}


def chat(server: str | None) -> int:
    """Talk until the end of input; the exit code."""
    talkative = sys.stdin.isatty()
    if talkative:
        with suppress(ImportError):
            import readline  # noqa: F401 - line editing and history, where the platform has it
        print(_WELCOME)
    asked_at = desk(server)
    while True:
        try:
            line = well_formed(input("> " if talkative else "")).strip()
        except EOFError:
            return 0
        if line.lower() in _LEAVE:
            return 0
        if not line:
            continue
        page = page_for(sys.stdout)
        try:
            if line.lower() == ":state":
                standing(page, asked_at.conversation(_NAME))
            else:
                said(page, asked_at.converse(_NAME, line), line)
        except AskError as error:
            print(error, *error.lines, sep="\n  ", flush=True)
            continue
        sys.stdout.write(page.text() + "\n")
        sys.stdout.flush()


def said(page: Page, document: dict[str, Any], line: str) -> None:
    """What the message was taken for, then the reply."""
    page.lines.append(page.paint(f"({TAKEN_FOR[document['taken_for']]})", "faint"))
    reply(page, document, line if document["taken_for"] in ("new_request", "not_understood") else "")


def standing(page: Page, kept: dict[str, Any]) -> None:
    """What is kept: the request as read, and the question that is still open."""
    if "read_as" not in kept and "question" not in kept:
        page.lines.append("Nothing is kept yet.")
        return
    if "read_as" in kept:
        page.item("request   ", kept["read_as"], 10, "strong")
    if "question" in kept:
        page.item("open      ", kept["question"]["text"], 10, "amber")
        for number, option in enumerate(kept["question"]["options"], 1):
            page.item(f"      {number:>2}  ", option["label"], 10)
