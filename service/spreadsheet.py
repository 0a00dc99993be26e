"""Tables that go through a spreadsheet: CSV (RFC 4180) whose cells are only text, out and back in without loss."""

import csv
import io
from collections.abc import Iterable
from typing import Any

_LIVE = ("=", "+", "-", "@", "\t", "\r", "\n")  # what a spreadsheet would run as a formula at the start of a cell


class UnreadableTableError(ValueError):
    """The whole cannot be read; the message says why."""


def csv_text(rows: Iterable[Iterable[Any]]) -> str:
    """Rows as CSV (RFC 4180)."""
    out = io.StringIO()
    csv.writer(out).writerows([harmless(cell) for cell in row] for row in rows)
    return out.getvalue()


def harmless(cell: Any) -> Any:
    """A cell that no spreadsheet runs: text that looks like a formula gets an apostrophe in front; ``as_typed`` undoes it."""
    if cell is None:
        return ""
    return f"'{cell}" if isinstance(cell, str) and cell.lstrip("'").startswith(_LIVE) else cell


def as_typed(cell: str) -> str:
    """A cell without the apostrophe that ``harmless`` put before it."""
    return cell[1:] if cell.startswith("'") and cell.lstrip("'").startswith(_LIVE) else cell


def utf8(content: bytes, what: str) -> str:
    """The text of ``what`` ("batch"). Raises UnreadableTableError."""
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise UnreadableTableError(f"The {what} is not in UTF-8.") from None


def read_table(
    text: str, must: tuple[str, ...], columns: tuple[str, ...], beside: tuple[str, ...] = ()
) -> list[tuple[int, dict[str, str]]]:
    """The lines that hold anything, each with its number (the header is line 1) and its cells by column, as typed.

    A line with more cells than the header has one under "". ``beside``: columns for people to read, of which nothing is
    taken. Raises UnreadableTableError where the CSV is broken or the header is not made of ``columns``, each once, all
    of ``must`` among them.
    """
    try:
        table = csv.DictReader(io.StringIO(text, newline=""), strict=True, restkey="", restval="")
        header = list(table.fieldnames or [])
        lines = [(table.line_num, cells) for cells in table]
    except csv.Error as fault:
        raise UnreadableTableError(f"The CSV cannot be read: {fault}.") from None
    unknown = [name for name in header if name not in (*columns, *beside)]
    if unknown or not set(must) <= set(header) or len(set(header)) != len(header):
        said = f"The header must hold {', '.join(must)}, and of {', '.join(columns)} each only once."
        if unknown:
            said += f" It holds {unknown[0][:80]!r}."
        raise UnreadableTableError(
            said + (" Set commas, not semicolons, between the cells." if ";" in text[:200] else "")
        )
    return [
        (number, {name: "+" if name == "" else as_typed(cell) for name, cell in cells.items() if name not in beside})
        for number, cells in lines
        if any(cells.values())
    ]
