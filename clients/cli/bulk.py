"""``prepwright bulk``: many requests in, one JSON reply a line out, in the same order."""

import csv
import io
import sys
import time
from collections.abc import Iterable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from typing import Any, BinaryIO

import orjson

from clients.errors import AskError
from clients.transport import Desk, desk


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the input: what is asked, its own id, its conversation, or why it cannot be read."""

    asked: str | dict[str, Any] = ""
    ref: Any = None
    fault: str = ""
    conversation: str | None = None


def bulk(file: str, out: str | None, form: str, server: str | None) -> int:
    """Answer every line of ``file``; 0 when each got its reply."""
    with ExitStack() as open_files:
        try:
            source: BinaryIO = sys.stdin.buffer if file == "-" else open_files.enter_context(open(file, "rb"))
            sink: BinaryIO = open_files.enter_context(open(out, "wb")) if out else sys.stdout.buffer
        except OSError as error:
            raise AskError(f"{error.filename}: {error.strerror}.") from None
        asked_at = desk(server)
        interactive = file == "-"
        with Progress(sys.stderr, 0 if interactive else _count(source)) as progress:
            for line in read_lines(source, form, file):
                sink.write(orjson.dumps(_reply(asked_at, line)) + b"\n")
                if interactive:
                    sink.flush()  # a program that waits for each reply gets it
                progress.step()
        sink.flush()
    return 0


def _reply(asked_at: Desk, line: Line) -> dict[str, Any]:
    if line.fault:
        document = unreadable(line.fault)
    else:
        try:
            if line.conversation is None:
                document = asked_at.ask(line.asked)
            else:
                document = {**asked_at.converse(line.conversation, line.asked), "conversation": line.conversation}
        except AskError as error:
            if isinstance(line.asked, str):
                raise
            document = unreadable("; ".join((str(error), *error.lines)))
        except Exception as fault:
            # One line's fault must not cost the others their reply.
            document = program_fault(fault)
    return document if line.ref is None else {"ref": line.ref, **document}


def unreadable(message: str) -> dict[str, Any]:
    """The reply to a line that holds no request: the other lines are answered all the same."""
    return {
        "outcome": "not_understood",
        "problem": {
            "code": "line-unreadable",
            "message": message,
            "remedy": "Give each line a text, or a typed request as an earlier reply gave it.",
        },
    }


def program_fault(fault: Exception) -> dict[str, Any]:
    """The reply where the program itself failed: nothing was planned, and the fault is named so that it can be mended."""
    return {
        "outcome": "not_understood",
        "problem": {
            "code": "program-fault",
            "message": f"A fault in the program ({type(fault).__name__}): nothing was planned for this line.",
            "remedy": "Ask in other words, and report the line.",
        },
    }


def read_lines(source: Iterable[bytes], form: str, name: str = "") -> Iterator[Line]:
    """The lines of the input in order, in the format named or found from the first line."""
    lines = iter(source)
    first = next(lines, None)
    if first is None:
        return
    opening = first.decode("utf-8-sig", "replace")
    if form == "auto":
        form = _format(opening, name)
    texts = _texts(opening, lines)
    if form == "csv":
        yield from _from_csv(texts)
    elif form == "jsonl":
        for text in texts:
            yield _from_json(text)
    else:
        for text in texts:
            yield Line(text)


def _format(opening: str, name: str) -> str:
    if opening.lstrip().startswith("{"):
        return "jsonl"
    columns = [cell.strip().lower() for cell in next(csv.reader([opening]), [])]
    return "csv" if "text" in columns or name.lower().endswith(".csv") else "text"


def _texts(opening: str, rest: Iterator[bytes]) -> Iterator[str]:
    yield opening.rstrip("\r\n")
    for line in rest:
        yield line.decode("utf-8", "replace").rstrip("\r\n")


def _from_csv(texts: Iterator[str]) -> Iterator[Line]:
    csv.field_size_limit(16 * 1024 * 1024)
    rows = csv.DictReader(f"{text}\n" for text in texts)
    names = {(name or "").strip().lower(): name for name in rows.fieldnames or ()}
    if "text" not in names:
        raise AskError("The CSV file has no column 'text'.", ("Its first line must name the columns.",))
    for row in rows:
        ref = row.get(names["id"]) if "id" in names else None
        talk = row.get(names["conversation"]) if "conversation" in names else None
        text = row[names["text"]]
        yield (
            Line(ref=ref, fault="The row has no cell in the column 'text'.")
            if text is None
            else Line(text.rstrip("\n"), ref, conversation=(talk or "").strip() or None)
        )


def _from_json(text: str) -> Line:
    try:
        held = orjson.loads(text)
    except orjson.JSONDecodeError as error:
        return Line(fault=f"The line is not JSON: {error.msg}.")
    if not isinstance(held, dict):
        return Line(fault="The line is JSON but not an object.")
    ref = held.get("id")
    given = [key for key in ("text", "request") if key in held]
    if len(given) != 1 or not isinstance(held[given[0]], str if given == ["text"] else dict):
        return Line(ref=ref, fault="The line must hold either a text (a string) or a request (an object).")
    talk = held.get("conversation")
    if talk is not None and not (isinstance(talk, str | int) and not isinstance(talk, bool)):
        return Line(ref=ref, fault="The conversation of the line must be a text or a number.")
    return Line(held[given[0]], ref, conversation=None if talk is None or talk == "" else str(talk))


def _count(source: BinaryIO) -> int:
    """Lines of a file that can be read twice; 0 when unknown."""
    if not isinstance(source, io.BufferedReader) or not source.seekable():
        return 0
    total = sum(block.count(b"\n") for block in iter(lambda: source.read(1 << 20), b""))
    source.seek(0)
    return total


class Progress:
    """A bar on a terminal, redrawn at most ten times a second; silent elsewhere."""

    def __init__(self, stream: Any, total: int) -> None:
        self._stream, self._total, self._done, self._drawn = stream, total, 0, 0.0
        self._shown = stream.isatty()

    def __enter__(self) -> "Progress":
        return self

    def __exit__(self, *_: object) -> None:
        if self._shown:
            self._stream.write("\r\x1b[K")
            self._stream.flush()

    def step(self) -> None:
        """One more line is answered."""
        self._done += 1
        now = time.monotonic()
        if not self._shown or now - self._drawn < 0.1:
            return
        self._drawn = now
        share = min(1.0, self._done / self._total) if self._total else 0.0
        bar = f"[{'#' * round(24 * share):<24}] {share:4.0%} " if self._total else ""
        self._stream.write(f"\r{bar}{self._done} answered")
        self._stream.flush()
