"""``prepwright chat``: one request a line; an open question is answered by number, id or label."""

import sys
from contextlib import suppress
from typing import Any

from clients.cli.page import page_for
from clients.cli.render import reply
from clients.cli.text import well_formed
from clients.errors import AskError
from clients.transport import desk

_LEAVE = frozenset({"quit", "exit", "bye", "q"})


def chat(server: str | None) -> int:
    """Talk until the end of input; the exit code."""
    talkative = sys.stdin.isatty()
    if talkative:
        with suppress(ImportError):
            import readline  # noqa: F401 - line editing and history, where the platform has it
        print("Type a request, such as: 250 mL of 0.1 M sodium chloride. An empty line does nothing; quit leaves.")
    asked_at = desk(server)
    question: dict[str, Any] | None = None
    while True:
        try:
            line = well_formed(input("> " if talkative else "")).strip()
        except EOFError:
            return 0
        if line.lower() in _LEAVE:
            return 0
        if not line:
            continue
        option = chosen(question, line) if question else None
        try:
            document = asked_at.ask(option["request"] if option else line)
        except AskError as error:
            print(error, *error.lines, sep="\n  ", flush=True)
            continue
        question = document.get("question")
        page = page_for(sys.stdout)
        reply(page, document, "" if option else line)
        sys.stdout.write(page.text() + "\n")
        sys.stdout.flush()


def chosen(question: dict[str, Any], line: str) -> dict[str, Any] | None:
    """The option that the line names by number, id or label; None when it names none (then it is a new request)."""
    options: list[dict[str, Any]] = [o for o in question["options"] if "request" in o]
    if line.isascii() and line.isdigit():
        place = int(line) - 1
        every = question["options"]
        return every[place] if 0 <= place < len(every) and "request" in every[place] else None
    said = line.casefold().removeprefix("the ").rstrip(".!")
    return next((o for o in options if said in (o["id"].casefold(), o["label"].casefold())), None)
