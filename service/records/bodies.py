"""Read a JSON body into one of the published shapes; every field that cannot be used is named."""

from functools import cache
from typing import Any

import orjson
from pydantic import TypeAdapter, ValidationError

from service.problems import FieldError, Problem


def wrong(errors: list[FieldError]) -> Problem:
    """The problem that names those fields."""
    detail = "One field cannot be used." if len(errors) == 1 else f"{len(errors)} fields cannot be used."
    return Problem("invalid-request", detail, tuple(errors))


def read_body(document: Any, shape: Any, at: str = "") -> dict[str, Any]:
    """The body in that shape, its numbers as ``Decimal``. Raises Problem naming every field that is wrong; ``at``: its pointer."""
    try:
        found: dict[str, Any] = _adapter(shape).validate_json(orjson.dumps(document), strict=True)
    except ValidationError as invalid:
        raise wrong(
            [
                FieldError(at + "".join(f"/{part}" for part in fault["loc"]), _plain(fault["msg"]))
                for fault in invalid.errors(include_url=False, include_context=False, include_input=False)
            ]
        ) from None
    return found


def _plain(message: str) -> str:
    said = message.removeprefix("Value error, ")
    return said[:1].lower() + said[1:]


@cache
def _adapter(shape: Any) -> "TypeAdapter[Any]":
    return TypeAdapter(shape)


def plain(body: Any) -> Any:
    """The body as JSON values, numbers as text with the digits that were typed."""
    return orjson.loads(orjson.dumps(body, default=str))
