"""/v1/lti: launches from a learning system. A teacher comes to the request form, a learner to the checking exercise."""

from typing import Any
from urllib.parse import parse_qs, quote, urlencode

from fastapi import APIRouter
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from service.api import examples_sign_in as examples
from service.api.contract import problems
from service.api.described import described
from service.api.respond import Json, from_document
from service.api.sign_in import elsewhere, let_in
from service.people.gate import address
from service.problems import FieldError, Problem
from service.schemas.people import KeyList
from service.services import Services, services
from service.sign_in.learning import Launch

router = APIRouter(prefix="/v1/lti", tags=["people"])
KIND = "lti"
_PROBLEMS = (
    "sign-in-not-set-up", "sign-in-failed", "sign-in-not-installed", "too-many-requests", "invalid-request",
    "body-too-large", "store-unavailable",
)  # fmt: skip
_LOGIN = ("iss", "login_hint", "target_link_uri", "lti_message_hint", "lti_deployment_id", "client_id")
_MOST_FIELDS = 50


def _form(required: list[str], optional: list[str], example: dict[str, str]) -> dict[str, Any]:
    properties = {name: {"type": "string"} for name in (*required, *optional)}
    schema = {"type": "object", "required": required, "properties": properties}
    shown = {"launch": {"summary": "as the platform sends it", "value": example}}
    return {"required": True, "content": {"application/x-www-form-urlencoded": {"schema": schema, "examples": shown}}}


@router.get(
    "/login",
    status_code=303,
    response_class=Response,
    summary="The first step of a launch",
    responses={303: elsewhere("Go back to the platform."), **problems(*_PROBLEMS)},
    openapi_extra={
        "parameters": [
            {"name": name, "in": "query", "required": name in _LOGIN[:2], "schema": {"type": "string"}}
            for name in _LOGIN
        ]
    },
)
async def login(request: Request) -> Response:
    """The initiation URL of the tool. It must open in a window of its own: the page is not shown inside another."""
    return await _begin(request, dict(request.query_params))


@router.post(
    "/login",
    status_code=303,
    response_class=Response,
    summary="The first step of a launch, posted",
    responses={303: elsewhere("Go back to the platform."), **problems(*_PROBLEMS)},
    openapi_extra={"requestBody": _form(list(_LOGIN[:2]), list(_LOGIN[2:]), examples.LOGIN)},
)
async def posted_login(request: Request) -> Response:
    """The same, for platforms that post it."""
    return await _begin(request, await _posted(request))


@router.post(
    "/launch",
    status_code=303,
    response_class=Response,
    summary="The second step of a launch",
    responses={
        303: elsewhere("Logged in; go to the form or the exercise."),
        **problems("no-role", "sign-in-unreachable", "busy", *_PROBLEMS),
    },
    openapi_extra={"requestBody": _form(["state", "id_token"], [], examples.LAUNCH)},
)
async def launch(request: Request) -> Response:
    """The redirect URL of the tool. A launch counts once; only the course and the number of learners are taken from it."""
    desk = _set_up(request)
    params = await _posted(request)
    _refuse_missing(params, ("state", "id_token"))
    begun = await run_in_threadpool(desk.handshakes.finish, KIND, params["state"])
    if begun is None:
        raise Problem("sign-in-failed", "The launch was not begun here, was finished before, or took too long.")
    came = await run_in_threadpool(desk.learning.finish, params, begun[0])
    person = await desk.arrivals.arrive(came.issuer, came.subject, [came.role])
    return await let_in(request, desk, person, KIND, _room(came))


@router.get(
    "/keys",
    response_class=Json,
    summary="The public key of this tool",
    responses={200: described(KeyList, "A JSON Web Key Set.", {"keys": examples.KEYS}), **problems()},
)
async def keys(request: Request) -> Response:
    """For platforms that are asked how many learn in a course; empty where no key is set up."""
    return from_document(await run_in_threadpool(services(request).learning.keys))


async def _begin(request: Request, params: dict[str, str]) -> Response:
    desk = _set_up(request)
    _refuse_missing(params, _LOGIN[:2])
    url, state, nonce = await run_in_threadpool(desk.learning.begin, params)
    await run_in_threadpool(desk.handshakes.begin, KIND, state, nonce)
    return RedirectResponse(url, 303)


def _set_up(request: Request) -> Services:
    desk = services(request)
    if not desk.learning.platforms:
        raise Problem("sign-in-not-set-up", "No learning system is set up.")
    desk.door.count_arrival(address(request))
    return desk


async def _posted(request: Request) -> dict[str, str]:
    """The fields of a posted form. Raises Problem for another body."""
    body = (await request.body()).decode("utf-8", "replace")
    try:
        form = parse_qs(body, keep_blank_values=True, max_num_fields=_MOST_FIELDS)
    except ValueError:
        raise Problem("invalid-request", f"The form has more than {_MOST_FIELDS} fields.") from None
    return {name: values[0] for name, values in form.items()}


def _refuse_missing(params: dict[str, str], needed: tuple[str, ...]) -> None:
    missing = tuple(FieldError(f"/{name}", "must be there") for name in needed if not params.get(name))
    if missing:
        raise Problem("invalid-request", "The launch cannot be used.", missing)


def _room(came: Launch) -> str:
    """The part of the page: the request form with course and class size, or the exercise."""
    if came.role != "requester":
        return "/#/check"
    told = {"course": came.course, **({} if came.students is None else {"students": str(came.students)})}
    return f"/#//{quote(urlencode(told, quote_via=quote), safe='')}"
