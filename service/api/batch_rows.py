"""Read the lines of a batch: CSV with a header, or JSON lines; every fault with its row and column."""

from dataclasses import dataclass, field
from typing import Any

import orjson

from grammar.request import Request as TypedRequest
from service.api.bodies import asked
from service.api.wishes import taken_out
from service.approvals.settle import NO_WISH, Wish
from service.plans.ids import read_id
from service.problems import Problem
from service.spreadsheet import UnreadableTableError, read_table, utf8

COLUMNS = ("id", "text", "request", "needed_by", "room", "plan")
TOLD = ("outcome", "read_as", "error")  # what an export adds for people to read; nothing is taken from it
MOST_ROWS = 200


@dataclass(frozen=True, slots=True)
class Row:
    """One line: its number (a CSV header is line 1), the caller's own ``ref``, what is asked, or what is wrong.

    ``cells`` are the line as it was sent, ``plan`` the id it was saved under before.
    """

    number: int
    ref: str | None = None
    asked: str | TypedRequest | None = None
    wish: Wish = NO_WISH
    errors: tuple[tuple[str, str], ...] = field(default=())
    plan: str | None = None
    cells: dict[str, Any] = field(default_factory=dict)


def read_rows(content: bytes, media_type: str) -> list[Row]:
    """The rows of a batch. Raises Problem when the whole cannot be read."""
    try:
        text = utf8(content, "batch")
        if media_type == "text/csv":
            rows = [_cells(number, cells) for number, cells in read_table(text, ("text",), COLUMNS, TOLD)]
        else:
            rows = _json_lines(text)
    except UnreadableTableError as fault:
        raise Problem("batch-unreadable", str(fault)) from None
    if not 0 < len(rows) <= MOST_ROWS:
        raise Problem("batch-unreadable", f"The batch has {len(rows)} rows; it must have 1 to {MOST_ROWS}.")
    return rows


def _cells(number: int, cells: dict[str, str]) -> Row:
    if "" in cells:
        return Row(number, errors=(("", "has more cells than the header"),))
    filled: dict[str, Any] = {name: cell for name, cell in cells.items() if cell}
    ref = filled.get("id")
    if "request" in filled:
        try:
            return _row(number, ref, {**filled, "request": orjson.loads(filled["request"])})
        except orjson.JSONDecodeError as fault:
            return Row(number, ref, errors=(("request", f"is no JSON: {fault.msg}"),), cells=filled)
    if "text" not in filled:
        return Row(number, ref, errors=(("text", "is empty"),), cells=filled)
    return _row(number, ref, filled)


def _json_lines(text: str) -> list[Row]:
    rows = []
    for number, line in enumerate(text.split("\n"), 1):
        if not line.strip():
            continue
        try:
            held = orjson.loads(line)
        except orjson.JSONDecodeError as fault:
            rows.append(Row(number, errors=(("", f"is no JSON: {fault.msg}"),)))
            continue
        if not isinstance(held, dict):
            rows.append(Row(number, errors=(("", "is no JSON object"),)))
            continue
        ref = held.get("id")
        if ref is not None and not (isinstance(ref, str) and len(ref) <= 100):
            rows.append(Row(number, errors=(("id", "must be a text of at most 100 characters"),)))
            continue
        rows.append(_row(number, ref, held))
    return rows


def _row(number: int, ref: str | None, cells: dict[str, Any]) -> Row:
    held = {name: value for name, value in cells.items() if name not in ("id", *TOLD)}
    before = held.pop("plan", None)
    plan = read_id(before) if isinstance(before, str) else None
    if before is not None and plan is None:
        return Row(number, ref, errors=(("plan", "is no id of a plan"),), cells=cells)
    try:
        wish = taken_out(held)
        return Row(number, ref, asked(held), wish, (), plan, cells)
    except Problem as problem:
        faults = tuple((e.pointer.removeprefix("/"), e.message) for e in problem.errors)
        return Row(number, ref, errors=faults or (("", problem.detail),), cells=cells)
