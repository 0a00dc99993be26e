"""/v1/session, /v1/token and /v1/people: come in, go out, who is there."""

import base64
import binascii
from typing import Annotated, Any
from urllib.parse import parse_qs, unquote

from fastapi import APIRouter, Query
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from service.api import examples_people as examples
from service.api.bodies import json_object
from service.api.contract import problems
from service.api.described import described, object_body
from service.api.respond import Json, from_document
from service.api.sign_in import set_session
from service.people import secrets
from service.people.gate import COOKIE, address, caller
from service.people.rights import Caller
from service.problems import FieldError, Problem
from service.schemas.people import LoggedOut, PersonList, Session, Token
from service.services import services

router = APIRouter(prefix="/v1", tags=["people"])
_FIELDS = ("name", "password")
_GRANT = "client_credentials"


@router.post(
    "/session",
    response_class=Json,
    summary="Log in with name and password",
    responses={
        200: described(
            Session,
            "Logged in; the session is in a cookie that scripts cannot read.",
            {"session": examples.SESSION},
            {"Set-Cookie": {"schema": {"type": "string"}, "description": "The session: HttpOnly, SameSite=Strict."}},
        ),
        **problems(
            "body-not-json", "content-not-json", "body-too-large", "invalid-request", "wrong-login", "cross-site",
            "too-many-requests", "store-unavailable",
        ),
    },
    openapi_extra={
        "requestBody": object_body(
            {name: {"type": "string"} for name in _FIELDS}, list(_FIELDS), {"login": examples.LOGIN}
        )
    },
)  # fmt: skip
async def log_in(request: Request) -> Response:
    """After several wrong passwords the account is locked for some minutes."""
    document = await json_object(request)
    errors = [FieldError(f"/{key}", "is no field here", _FIELDS) for key in document if key not in _FIELDS]
    errors += [FieldError(f"/{key}", "must be a string") for key in _FIELDS if not isinstance(document.get(key), str)]
    if errors:
        raise Problem("invalid-request", "The login cannot be used.", tuple(errors))
    if request.headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
        raise Problem("cross-site", "A page of another site sent this login.")
    door = services(request).door
    token, who = await door.log_in(document["name"], document["password"], address(request))
    response = _session(who, secrets.csrf_token(token))
    set_session(request, response, token, door.settings.session_hours)
    return response


@router.get(
    "/session",
    response_class=Json,
    summary="Who I am here and what I may do",
    responses={
        200: described(Session, "The caller.", {"logged_in": examples.SESSION, "single_user": examples.LOCAL_SESSION}),
        **problems("store-unavailable"),
    },
)
async def my_session(request: Request) -> Response:
    """Without accounts the caller is ``local``."""
    token = request.cookies.get(COOKIE)
    who = caller(request)
    return _session(who, secrets.csrf_token(token) if token and who.via == "session" else None)


@router.delete(
    "/session",
    response_class=Json,
    summary="Log out",
    responses={
        200: described(LoggedOut, "Out.", {"out": {"logged_out": True}}),
        **problems("store-unavailable"),
    },
)
async def log_out(request: Request) -> Response:
    """The session is over at once, everywhere."""
    token = request.cookies.get(COOKIE)
    if token and caller(request).via == "session":
        await services(request).door.log_out(token, caller(request))
    response = from_document({"logged_out": True})
    response.delete_cookie(COOKIE, httponly=True, samesite="strict")
    return response


@router.post(
    "/token",
    response_class=Json,
    summary="A short-lived token for a machine (OAuth 2 client credentials)",
    responses={
        200: described(Token, "The token.", {"token": examples.TOKEN}),
        **problems(
            "invalid-request", "wrong-login", "not-allowed", "too-many-requests", "body-too-large", "store-unavailable"
        ),
    },
    openapi_extra={
        "requestBody": {
            "required": True,
            "content": {
                "application/x-www-form-urlencoded": {
                    "schema": {
                        "type": "object",
                        "required": ["grant_type"],
                        "properties": {
                            "grant_type": {"type": "string", "enum": [_GRANT]},
                            "client_id": {"type": "string", "description": "the key's id, unless sent by HTTP Basic"},
                            "client_secret": {"type": "string"},
                            "scope": {
                                "type": "string",
                                "description": "scopes, separated by spaces; none asks for all",
                            },
                        },
                    },
                    "examples": {
                        "for_plans": {
                            "summary": "for plans",
                            "value": {
                                "grant_type": _GRANT,
                                "client_id": "9B2K7WXT4M",
                                "client_secret": "kept-by-the-machine",
                                "scope": "plan:write",
                            },
                        }
                    },
                }
            },
        }
    },
)
async def make_token(request: Request) -> Response:
    """The client is a key that 'prepwright people key' made: its id and secret, in the form or by HTTP Basic."""
    form = parse_qs((await request.body()).decode("utf-8", "replace"), keep_blank_values=True, max_num_fields=20)
    if form.get("grant_type") != [_GRANT]:
        raise Problem(
            "invalid-request", "One field cannot be used.", (FieldError("/grant_type", "must be", (_GRANT,)),)
        )
    key_id, secret = _client(request, form)
    token, scopes, life = await services(request).door.token(
        key_id, secret, " ".join(form.get("scope", [])), address(request)
    )
    return from_document({"access_token": token, "token_type": "Bearer", "expires_in": life, "scope": scopes})


@router.get(
    "/people",
    response_class=Json,
    summary="Every account",
    responses={
        200: described(PersonList, "One page, by name.", {"people": examples.PEOPLE}),
        **problems("invalid-request", "store-unavailable"),
    },
)
async def list_people(
    request: Request,
    limit: Annotated[int, Query(ge=1, le=200, description="Lines on a page.")] = 50,
    after: Annotated[str, Query(max_length=64, description="The 'next' of the page before.")] = "",
) -> Response:
    """Accounts are made with 'prepwright people add' on the machine of the service, or by signing in elsewhere."""
    found, more = await run_in_threadpool(services(request).door.accounts.page, after, limit)
    lines = [
        {
            "id": p.id,
            "name": p.name,
            **({"full_name": p.full_name} if p.full_name else {}),
            "roles": list(p.roles),
            "active": p.active,
        }
        for p in found
    ]
    return from_document({"people": lines, **({"next": found[-1].name} if more else {})})


def _session(who: Caller, csrf: str | None) -> Json:
    document: dict[str, Any] = {"id": who.id, "name": who.name, "via": who.via, "rights": sorted(who.rights)}
    if csrf is not None:
        document["csrf_token"] = csrf
    response = from_document(document)
    response.headers["Cache-Control"] = "no-store"  # the token of the session stays out of every cache
    return response


def _client(request: Request, form: dict[str, list[str]]) -> tuple[str, str]:
    scheme, _, credential = request.headers.get("authorization", "").partition(" ")
    if scheme.lower() == "basic":
        try:
            name, _, secret = base64.b64decode(credential, validate=True).decode("utf-8").partition(":")
        except (binascii.Error, UnicodeDecodeError):
            return "", ""
        return unquote(name), unquote(secret)
    return form.get("client_id", [""])[0], form.get("client_secret", [""])[0]
