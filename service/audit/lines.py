"""Entries of the log as lines of an export: JSON lines that can be checked offline, and CSV."""

from collections.abc import Iterable, Iterator
from typing import Any

import orjson

from service.audit.chain import Entry
from service.spreadsheet import csv_text

COLUMNS = (
    "seq", "at", "by", "name", "event", "subject", "outcome", "asked", "read_as", "substance", "strength_mol_L",
    "amount_g", "reason", "hash",
)  # fmt: skip


def json_line(row: Any) -> bytes:
    """An entry with all that its hash covers; ``body`` is its exact text."""
    return orjson.dumps(
        {
            "seq": row.seq,
            "at": row.at,
            "actor": row.actor,
            "event": row.event,
            "subject": row.subject,
            "body": row.body.decode("utf-8"),
            "prev_hash": row.prev_hash,
            "hash": row.hash,
        },
        option=orjson.OPT_APPEND_NEWLINE,
    )


def read_lines(content: Iterable[bytes]) -> Iterator[Entry]:
    """The entries of an export. Raises ValueError naming the line that is none."""
    for number, line in enumerate(content, 1):
        if not line.strip():
            continue
        try:
            held = orjson.loads(line)
            yield Entry(
                int(held["seq"]), held["at"], held["actor"], held["event"], held["subject"],
                held["body"].encode("utf-8"), held["prev_hash"], held["hash"],
            )  # fmt: skip
        except (orjson.JSONDecodeError, KeyError, TypeError, AttributeError, ValueError) as fault:
            raise ValueError(f"line {number} is no entry of the log: {type(fault).__name__}") from None


def csv_lines(row: Any, terms: list[Any], names: dict[str, str]) -> str:
    """An entry as CSV, a line for each substance that was looked for, or one line."""
    body = orjson.loads(row.body or b"{}")
    head = (
        row.seq,
        row.at,
        row.actor,
        names.get(row.actor, ""),
        row.event,
        row.subject,
        row.outcome,
        row.text,
        row.read_as,
    )
    each = [(t.value, t.strength, t.amount_g) for t in terms] or [("", None, None)]
    return csv_text(
        [*head, *found, body.get("reason", "") if isinstance(body, dict) else "", row.hash] for found in each
    )
