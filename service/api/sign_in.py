"""/v1/sign-in: come in by an account of an OpenID Connect provider, with a browser."""

from typing import Annotated

from fastapi import APIRouter, Query
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from service.api.contract import problems
from service.api.described import Described
from service.people import secrets
from service.people.gate import COOKIE, address
from service.problems import Problem
from service.services import Services, services
from service.sign_in.handshakes import MINUTES, new_state

router = APIRouter(prefix="/v1", tags=["people"])
KIND = "oidc"
_BROWSER = "prepwright_sign_in"
_PATH = "/v1/sign-in"
_PROBLEMS = ("sign-in-not-set-up", "sign-in-unreachable", "sign-in-not-installed", "too-many-requests", "store-unavailable", "busy")
_MOST = 4096


def elsewhere(told: str) -> Described:
    """A response that sends the browser to another address."""
    return {"description": told, "headers": {"Location": {"schema": {"type": "string"}}}}


@router.get(
    "/sign-in",
    status_code=303,
    response_class=Response,
    summary="Begin to sign in by the college's own account",
    responses={303: elsewhere("Go to the provider."), **problems(*_PROBLEMS)},
)
async def begin(request: Request) -> Response:
    """For browsers. The answer of the provider must come back in ten minutes, to the same browser, and counts once."""
    desk = services(request)
    if not desk.provider.issuer:
        raise Problem("sign-in-not-set-up", "No OpenID Connect provider is set up.")
    desk.door.count_arrival(address(request))
    state, nonce, verifier, browser = new_state(), new_state(), new_state(), new_state()
    url = await desk.provider.begin(state, nonce, verifier)
    kept = f"{verifier} {secrets.hash_secret(browser)}"
    await run_in_threadpool(desk.handshakes.begin, KIND, state, nonce, kept)
    response = RedirectResponse(url, 303)
    # Lax, not Strict: the provider's page sends the browser back to us.
    response.set_cookie(_BROWSER, browser, max_age=MINUTES * 60, path=_PATH, httponly=True, samesite="lax",
                        secure=_secure(request))  # fmt: skip
    return response


@router.get(
    "/sign-in/back",
    status_code=303,
    response_class=Response,
    summary="Where the provider sends the browser back to",
    responses={
        303: elsewhere("Logged in; go to the page. The session is in a cookie."),
        **problems("invalid-request", "sign-in-failed", "no-role", *_PROBLEMS),
    },
)
async def back(
    request: Request,
    state: Annotated[str, Query(max_length=200)],
    code: Annotated[str, Query(max_length=_MOST)] = "",
    error: Annotated[str, Query(max_length=_MOST, description="Why the provider let nobody in.")] = "",
) -> Response:
    """The account is made at the first sign-in; its roles are those that the newest sign-in gives."""
    desk = services(request)
    if not desk.provider.issuer:
        raise Problem("sign-in-not-set-up", "No OpenID Connect provider is set up.")
    desk.door.count_arrival(address(request))
    begun = await run_in_threadpool(desk.handshakes.finish, KIND, state)
    verifier, _, browser = ("", "", "") if begun is None else begun[1].partition(" ")
    if begun is None or not secrets.same(secrets.hash_secret(request.cookies.get(_BROWSER, "")), browser):
        raise Problem("sign-in-failed", "The sign-in was not begun here, was finished before, or took too long.")
    if error or not code:
        raise Problem("sign-in-failed", "The provider let nobody in.")
    came = await desk.provider.finish(code, begun[0], verifier)
    person = await desk.arrivals.arrive(desk.provider.issuer, came.subject, came.roles, came.name, came.full_name)
    desk.door.forget()
    response = await let_in(request, desk, person, KIND, "/")
    response.delete_cookie(_BROWSER, path=_PATH, httponly=True, samesite="lax", secure=_secure(request))
    return response


async def let_in(request: Request, desk: Services, person: str, way: str, to: str) -> Response:
    """Send the browser on with a new session."""
    token, _ = await desk.door.enter(person, way)
    response = RedirectResponse(to, 303)
    set_session(request, response, token, desk.door.settings.session_hours)
    return response


def set_session(request: Request, response: Response, token: str, hours: float) -> None:
    """Put a session into a cookie that scripts cannot read and other sites cannot send."""
    response.set_cookie(
        COOKIE, token, max_age=int(hours * 3600), httponly=True, samesite="strict", secure=_secure(request)
    )


def _secure(request: Request) -> bool:
    return request.url.scheme == "https"
