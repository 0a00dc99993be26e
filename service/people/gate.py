"""The gate every endpoint stands behind: who is this, and may they. Put before all routes by the application."""

from typing import cast

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request

from service.people import secrets
from service.people.door import Door
from service.people.rights import ANYONE, LOCAL, OPEN, Caller, may, needed
from service.plans.ids import read_id
from service.problems import Problem

COOKIE = "prepwright_session"
CSRF_HEADER = "x-csrf-token"
_SAFE = frozenset({"GET", "HEAD"})
_LOOPBACK = ("127.", "::1", "::ffff:127.")
_FORWARDED = ("x-forwarded-for", "forwarded", "x-real-ip")
_CHALLENGE = {"WWW-Authenticate": "Bearer"}


def caller(request: Request) -> Caller:
    """Who sent the request, as the gate found."""
    return cast(Caller, request.scope["prepwright.caller"])


async def gate(request: Request) -> None:
    """Let the request through, or raise the Problem that says why not."""
    scope = request.scope
    needs = needed(scope["method"], scope["route"].path)
    if needs[0] == OPEN:
        return
    door: Door = scope["app"].state.services.door
    if await door.single_user():
        if not from_here(request):
            raise Problem("only-this-machine", "Nobody has an account here, and the request came from elsewhere.")
        scope["prepwright.caller"] = LOCAL
        return
    found = await _who(request, door)
    if needs[0] != ANYONE and not may(needs, found.rights):
        raise Problem("not-allowed", f"This asks for the right {' or '.join(needs)}.")
    if not found.sees_all and not found.rights & {"record:write", "approve"}:
        await run_in_threadpool(_only_own, request, found)
    scope["prepwright.caller"] = found


def _only_own(request: Request, who: Caller) -> None:
    """Who may not see what others asked for finds nothing under its address, whatever is asked of it: plan, record, label."""
    desk = request.scope["app"].state.services
    plan, made = request.path_params.get("plan_id"), request.path_params.get("preparation_id")
    if made is not None:
        found = read_id(made)
        plan = desk.records.plan_of(found) if found else None
    wanted = read_id(plan) if plan else None
    if wanted is not None and desk.archive.get(wanted, who.id) is None:
        if made is not None:
            raise Problem("no-such-preparation", "No preparation has this id.")
        raise Problem("no-such-plan", "No stored plan has this id.")


async def _who(request: Request, door: Door) -> Caller:
    scheme, _, credential = request.headers.get("authorization", "").partition(" ")
    if scheme.lower() == "bearer" and credential:
        return await door.by_bearer(credential.strip())
    token = request.cookies.get(COOKIE)
    if not token:
        raise Problem("login-needed", "The request does not say whose it is.", headers=_CHALLENGE)
    found = await door.by_session(token)
    if request.method not in _SAFE:
        sent = request.headers.get(CSRF_HEADER, "")
        if not secrets.same(sent, secrets.csrf_token(token)) or not _same_origin(request):
            raise Problem("cross-site", "The X-CSRF-Token of this session is missing or wrong.")
    return found


def from_here(request: Request) -> bool:
    """Whether the request comes from this machine itself and was not handed on by a proxy."""
    if request.client is None or any(name in request.headers for name in _FORWARDED):
        return False
    return request.client.host.startswith(_LOOPBACK)


def address(request: Request) -> str:
    """What attempts to log in are counted by."""
    return request.client.host if request.client is not None else "unknown"


def _same_origin(request: Request) -> bool:
    origin = request.headers.get("origin")
    return origin is None or origin.partition("://")[2] == request.headers.get("host", "")
