"""What the published contract says of the shelf: shapes, and examples from the invented college."""

from typing import Any

from service.api import examples_shelf as examples
from service.api.contract import described
from service.schemas.shelf import Bottle, EventDone, ExpiringPage, Family, Imported, ShelfPage

Described = dict[str, Any]
_TEXT = {"schema": {"type": "string"}}
_HEADERS = {
    "Location": {**_TEXT, "description": "Where the bottle is."},
    "Prepwright-Audit-Head": {**_TEXT, "description": "Its own audit entry, number:hash. Keep it as a receipt."},
}
NEW: dict[str, Any] = {
    "by": "PK", "name": "copper sulfate pentahydrate", "amount": "500", "unit": "g", "place": "cabinet B2",
    "lot": "CU-7741", "assay_pct": "99.2", "expiry": "2031-06-30",
}  # fmt: skip
TAKEN: dict[str, Any] = {"by": "PK", "kind": "take", "amount": "24.97", "unit": "g", "reason": "stock for week 5"}
_BOTTLE: dict[str, Any] = {
    "id": "7KQ2M4XW0D", "at": "2026-12-01T09:12:44.120334Z", "by": "PK", "kind": "reagent",
    "substance": "copper-ii-sulfate", "form": "pentahydrate", "name": "copper(II) sulfate pentahydrate",
    "lot": "CU-7741", "assay_pct": "99.2", "expiry": "2031-06-30", "place": "cabinet B2", "unit": "g",
    "amount": "500", "left": "475.03", "free": "475.03", "state": "in use",
    "history": [
        {"number": 812, "at": "2026-12-01T09:20:02.004511Z", "by": "PK", "kind": "take", "amount": "24.97",
         "reason": "stock for week 5"}
    ],
}  # fmt: skip
_FRESH = {**_BOTTLE, "left": "500", "free": "500", "history": []}
_DONE = {"id": "7KQ2M4XW0D", "event": "take", "reached": []}
_BELOW = {"id": "412", "source": "7KQ2M4XW0D", "kind": "hand-out", "name": "Chemistry 2, room 14", "quarantined": False}


def shape_body(shape: str, shown: dict[str, Any]) -> Described:
    """A JSON body of a published shape."""
    example = {name: {"summary": name, "value": value} for name, value in shown.items()}
    return {
        "required": True,
        "content": {
            "application/json": {"schema": {"$ref": f"#/components/schemas/{shape}"}, "examples": example},
        },
    }


ADDED = described(Bottle, "The bottle.", {"added": _FRESH}, _HEADERS)
BOTTLE = described(Bottle, "The bottle as it stands.", {"bottle": _BOTTLE})
PAGE = described(ShelfPage, "One page, newest first.", {"page": {"bottles": [_BOTTLE], "next": 640}})
DONE = described(EventDone, "What was done, and what it reached.", {"taken": _DONE}, _HEADERS)
FAMILY = described(Family, "What is below it.", {"family": {"id": "7KQ2M4XW0D", "below": [_BELOW]}})
BOTTLE_BODY = shape_body("BottleBody", {"reagent": NEW})
EVENT_BODY = shape_body("EventBody", {"take": TAKEN})
IMPORTED = described(Imported, "What each row gives.", {"tried": examples.TRIED, "saved": examples.SAVED})
EXPIRING = described(ExpiringPage, "One page.", {"page": examples.EXPIRING})
_TABLE = {"schema": {"type": "string"}, "examples": {"table": {"summary": "two bottles", "value": examples.TABLE}}}
TABLE: Described = {"description": "CSV (RFC 4180) with a header.", "content": {"text/csv": _TABLE}}
TABLE_BODY: Described = {"required": True, "content": {"text/csv": _TABLE}}
