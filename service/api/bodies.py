"""Read the JSON body of a request, with every fault as a problem."""

from typing import Any

import orjson
from starlette.requests import Request

from grammar.request import Request as TypedRequest
from service import requests
from service.problems import FieldError, Problem

_EITHER = ("text", "request")


async def json_object(request: Request) -> dict[str, Any]:
    """The body as a JSON object. Raises Problem for another content type, broken JSON or another value."""
    content_type = request.headers.get("content-type", "")
    if content_type.partition(";")[0].strip().lower() != "application/json":
        raise Problem("content-not-json", f"The Content-Type is {content_type[:80]!r}, not application/json.")
    body = await request.body()
    try:
        document = orjson.loads(body)
    except orjson.JSONDecodeError as error:
        raise Problem("body-not-json", f"The body cannot be read as JSON: {error.msg}.") from None
    if not isinstance(document, dict):
        raise Problem("body-not-json", "The body is JSON but not an object.")
    return document


def asked(document: dict[str, Any]) -> str | TypedRequest:
    """What is asked: the ``text``, or the typed ``request``. Raises Problem naming every field that is wrong."""
    errors = [FieldError(f"/{key}", "is no field here", _EITHER) for key in document if key not in _EITHER]
    given = [key for key in _EITHER if key in document]
    if len(given) != 1:
        errors.append(FieldError("", "must hold either text or request" + ("" if not given else ", not both"), _EITHER))
    elif given == ["text"]:
        text = document["text"]
        if isinstance(text, str) and not errors:
            return text
        if not isinstance(text, str):
            errors.append(FieldError("/text", "must be a string"))
    else:
        try:
            typed = requests.read(document["request"], "/request")
            if not errors:
                return typed
        except requests.UnreadableError as unreadable:
            errors += unreadable.errors
    detail = "One field cannot be used." if len(errors) == 1 else f"{len(errors)} fields cannot be used."
    raise Problem("invalid-request", detail, tuple(errors))
