"""POST /v1/readings: what a text says, as fields, while it is still being typed."""

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from service.api.bodies import json_object
from service.api.contract import READING, problems
from service.api.examples_reading import ASKED
from service.api.respond import Json, from_document
from service.problems import FieldError, Problem
from service.readings import reading

router = APIRouter(prefix="/v1/readings", tags=["readings"])
_FIELD = ("text",)


@router.post(
    "",
    response_class=Json,
    summary="Read a text without planning or storing anything",
    responses={
        200: READING,
        **problems("body-not-json", "content-not-json", "body-too-large", "invalid-request"),
    },
    openapi_extra={
        "requestBody": {
            "required": True,
            "content": {
                "application/json": {
                    "schema": {
                        "type": "object",
                        "required": ["text"],
                        "additionalProperties": False,
                        "properties": {"text": {"type": "string", "description": "The request in plain words."}},
                    },
                    "examples": {"plain_words": {"summary": "plain words", "value": ASKED}},
                }
            },
        }
    },
)
async def read_text(request: Request) -> Response:
    """Only the words are read: whether it can be made, and how, is for POST /v1/plans."""
    document = await json_object(request)
    errors = [FieldError(f"/{key}", "is no field here", _FIELD) for key in document if key not in _FIELD]
    text = document.get("text")
    if not isinstance(text, str):
        errors.append(FieldError("/text", "must be a string"))
    if errors or not isinstance(text, str):
        detail = "One field cannot be used." if len(errors) == 1 else f"{len(errors)} fields cannot be used."
        raise Problem("invalid-request", detail, tuple(errors))
    return from_document(reading(text))
