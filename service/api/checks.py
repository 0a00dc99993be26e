"""POST /v1/checks: is this answer right, and which slip gives it when it is not."""

from dataclasses import replace
from typing import Any

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from grammar import read, read_quantity
from grammar.request import Check, Misread, Prepare
from service import requests
from service.api import examples_checks as examples
from service.api.bodies import json_object
from service.api.contract import IDEMPOTENCY_KEY, Described, described_reply, problems
from service.api.respond import Json, answer_of, kept_by
from service.people.gate import caller
from service.problems import FieldError, Problem
from service.repeats import Answer, Finish
from service.services import services
from service.store.writer import StoreBusyError, StoreDownError

router = APIRouter(prefix="/v1/checks", tags=["checks"])
_FIELDS = ("request", "claimed")
_SENTENCE = "must put an amount forward, for example '7.98 g for 500 mL of 0.1 M copper sulfate pentahydrate - right?'"


def _body() -> Described:
    """The request body of POST /v1/checks."""
    text = {"type": "string"}
    return {
        "required": True,
        "content": {
            "application/json": {
                "schema": {
                    "type": "object",
                    "required": ["claimed"],
                    "additionalProperties": False,
                    "anyOf": [
                        {"required": ["request"]},
                        {"properties": {"claimed": {"type": "object", "required": ["text"]}}},
                    ],
                    "properties": {
                        "request": {
                            "description": "What was to be made, in plain words or typed; left out when 'claimed' is a whole sentence.",
                            "oneOf": [text, {"$ref": "#/components/schemas/Prepare"}],
                        },
                        "claimed": {
                            "description": "The answer to check: an amount, or text such as '7.98 g' or a whole sentence.",
                            "oneOf": [
                                {"$ref": "#/components/schemas/Quantity"},
                                {
                                    "type": "object",
                                    "required": ["text"],
                                    "additionalProperties": False,
                                    "properties": {"text": text},
                                },
                            ],
                        },
                    },
                },
                "examples": {
                    name: {"summary": name.replace("_", " "), "value": value}
                    for name, value in examples.CLAIMED.items()
                },
            }
        },
    }


@router.post(
    "",
    response_class=Json,
    summary="Check an answer, and name the slip that gives it when it is wrong",
    responses={
        200: described_reply("The verdict, or why there is none.", examples.CHECKED),
        **problems(
            "body-not-json",
            "content-not-json",
            "body-too-large",
            "invalid-request",
            "in-flight",
            "key-reused",
            "busy",
            "store-unavailable",
        ),
    },
    openapi_extra={"requestBody": _body(), "parameters": [IDEMPOTENCY_KEY]},
)
async def check_answer(request: Request) -> Response:
    """A reply like any other, stored and logged: outcome answered with ``answer.verdict`` right, close or wrong."""
    desk = services(request)
    text, asked = checked(await json_object(request))
    who = caller(request).id

    async def answer(finish: Finish | None) -> Answer:
        reply = desk.answer(asked, desk.bench)
        try:
            stored = await desk.archive.store(text, reply.document, who, finish=kept_by(finish))
        except StoreBusyError:
            raise Problem("busy", "Too many requests are waiting to be stored.") from None
        except StoreDownError:
            raise Problem("store-unavailable", "The reply could not be stored, so it is not given.") from None
        return answer_of(stored)

    return await desk.repeats.once(request, who, answer)


def checked(document: dict[str, Any]) -> tuple[str | None, str | Check]:
    """The text as typed (if any) and the check, or the text itself where it has no safe reading; Problem for a wrong field."""
    errors = [FieldError(f"/{key}", "is no field here", _FIELDS) for key in document if key not in _FIELDS]
    if "claimed" not in document:
        errors.append(FieldError("/claimed", "must be there: the answer to check"))
    if errors:
        raise _wrong(errors)
    claimed, about = document["claimed"], document.get("request")
    sentence = claimed.get("text") if isinstance(claimed, dict) and set(claimed) == {"text"} else None
    if about is None:
        if not isinstance(sentence, str):
            raise _wrong([FieldError("/request", "must be there unless claimed/text is a whole sentence")])
        return sentence, _whole(sentence)
    if isinstance(sentence, str):
        quantity = read_quantity(sentence)
        if quantity is None:
            raise _wrong([FieldError("/claimed/text", "must be one number and one unit, such as '7.98 g'")])
        claimed = {"value": str(quantity.value), "unit": quantity.unit}
    if isinstance(about, str):
        made = read(about)
        if isinstance(made, Misread):
            return about, about
        if not isinstance(made, Prepare):
            raise _wrong([FieldError("/request", "must be a solution to make")])
        return about, replace(_typed({}, claimed), request=made)
    return None, _typed(about, claimed)


def _whole(sentence: str) -> str | Check:
    found = read(sentence)
    if not isinstance(found, Check | Misread):
        raise _wrong([FieldError("/claimed/text", _SENTENCE)])
    return found if isinstance(found, Check) else sentence


def _typed(about: Any, claimed: Any) -> Check:
    """Both parts as typed fields; every fault is named by its place in the body."""
    placeholder = {"components": [{"solute": {"name": "solute"}}]}
    try:
        found = requests.read({"kind": "check", "request": about or placeholder, "claimed": claimed})
    except requests.UnreadableError as unreadable:
        raise _wrong(list(unreadable.errors)) from None
    assert isinstance(found, Check)
    return found


def _wrong(errors: list[FieldError]) -> Problem:
    detail = "One field cannot be used." if len(errors) == 1 else f"{len(errors)} fields cannot be used."
    return Problem("invalid-request", detail, tuple(errors))
