"""How an event of the shelf is written."""

from typing import Any

import orjson

from service.audit.chain import Event
from service.store.tables_shelf import shelf_events
from service.store.writer import Write

Document = dict[str, Any]


def event_write(client: str, subject: str, kind: str, told: Document) -> Write:
    """The write of one event."""
    row = {"subject_id": subject, "kind": kind, "amount": told.get("amount"), "preparation_id": told.get("preparation"),
           "document": orjson.dumps(told)}  # fmt: skip
    return Write(Event(client, f"shelf.{kind}", subject, sorted_bytes(told)), shelf_events, row)


def sorted_bytes(told: Document) -> bytes:
    """The body of an audit event: its keys in order."""
    return orjson.dumps(told, option=orjson.OPT_SORT_KEYS)
