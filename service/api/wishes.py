"""What may come with a request besides what is to be made: by when it is needed, and for which room."""

from datetime import date
from typing import Any

from service.approvals.settle import Wish
from service.problems import FieldError, Problem

FIELDS: dict[str, Any] = {
    "needed_by": {
        "type": "string",
        "format": "date",
        "description": "The day it is needed; orders the queue of held plans.",
    },
    "room": {
        "type": "string",
        "maxLength": 100,
        "description": "Where it will be made or used; an approval may name one.",
    },
}


def taken_out(document: dict[str, Any]) -> Wish:
    """The wish of a body, taken out of it. Raises Problem naming the field that cannot be used."""
    errors = []
    needed_by, room = document.pop("needed_by", None), document.pop("room", None)
    if needed_by is not None and day(needed_by) is None:
        errors.append(FieldError("/needed_by", "must be a day such as 2027-01-15"))
    if room is not None and not (isinstance(room, str) and 0 < len(room.strip()) <= 100):
        errors.append(FieldError("/room", "must be a text of 1 to 100 characters"))
    if errors:
        raise Problem("invalid-request", "The day or the room cannot be used.", tuple(errors))
    return Wish(needed_by, room)


def day(typed: Any) -> date | None:
    """The day a text names as 2027-01-15, or None."""
    try:
        found = date.fromisoformat(typed)
    except (TypeError, ValueError):
        return None
    return found if found.isoformat() == typed else None
