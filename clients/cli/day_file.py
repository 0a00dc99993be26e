"""The requests of a prep day from a file: lines of text, CSV, JSON lines, or the whole body as JSON."""

import csv
import io
import json
import sys
from pathlib import Path
from typing import Any

from clients.errors import AskError

Document = dict[str, Any]
_VOLUMES = {"each_mL": "each", "rinse_mL": "rinse", "dead_volume_mL": "dead_volume"}
_NUMBERS = ("students", "group_size", "sections", "repeats", "rinses")
_PLAIN = ("text", "needed_by", "room", "to")
COLUMNS = (*_PLAIN, *_NUMBERS, *_VOLUMES, "spare_percent")


def read_day(file: str, date: str | None) -> Document:
    """The body of POST /v1/days. Raises AskError where the file cannot be read or no day is said."""
    try:
        content = sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes()
    except OSError as error:
        raise AskError(f"{file} cannot be read: {error.strerror}.") from None
    text = content.decode("utf-8-sig", "replace")
    body = _whole(text)
    if body is None:
        body = {"requests": _json_lines(text) if text.lstrip().startswith("{") else _lines(text)}
    if date is not None:
        body["date"] = date
    if "date" not in body:
        raise AskError("Which day? Give it with --date 2027-01-18.")
    return body


def _whole(text: str) -> Document | None:
    """The body where the file is one JSON object with requests."""
    try:
        found = json.loads(text)
    except ValueError:
        return None
    return found if isinstance(found, dict) and "requests" in found else None


def _json_lines(text: str) -> list[Any]:
    found = []
    for number, line in enumerate(text.split("\n"), 1):
        if line.strip():
            try:
                found.append(json.loads(line))
            except ValueError as error:
                raise AskError(f"Line {number} is no JSON: {error}.") from None
    return found


def _lines(text: str) -> list[Document]:
    header = next(csv.reader([text.split("\n", 1)[0].strip()]), [])
    if "text" in header:
        return _cells(text)
    return [{"text": line.strip()} for line in text.split("\n") if line.strip()]


def _cells(text: str) -> list[Document]:
    rows = csv.DictReader(io.StringIO(text, newline=""), restkey="", restval="")
    unknown = [name for name in rows.fieldnames or () if name not in COLUMNS]
    if unknown:
        raise AskError(
            f"The CSV has columns that are not known here: {', '.join(unknown)}.", (f"Known are {', '.join(COLUMNS)}.",)
        )
    found = []
    for row in rows:
        if "" in row:
            raise AskError(f"Line {rows.line_num} has more cells than the header.")
        filled = {name: cell.strip() for name, cell in row.items() if cell and cell.strip()}
        if filled:
            found.append(_request(filled, rows.line_num))
    return found


def _request(row: dict[str, str], number: int) -> Document:
    request: Document = {name: row[name] for name in _PLAIN if name in row}
    shared: Document = {
        name: {"value": row[column], "unit": "mL"} for column, name in _VOLUMES.items() if column in row
    }
    for name in _NUMBERS:
        if name in row:
            if not row[name].isdecimal():
                raise AskError(f"Line {number}: {name} must be a whole number, not {row[name]!r}.")
            shared[name] = int(row[name])
    if "spare_percent" in row:
        shared["spare_percent"] = row["spare_percent"]
    return request | ({"class_set": shared} if shared else {})
