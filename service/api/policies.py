"""/v1/policies: the local policy, what a new one would change, and the two people it takes."""

from typing import Annotated, Any

import orjson
from fastapi import APIRouter, Path, Query
from sqlalchemy import Row
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from service.api import examples_policies as examples
from service.api.bodies import json_object
from service.api.contract import problems
from service.api.contract_shelf import shape_body
from service.api.described import described
from service.api.respond import Json, from_document
from service.people.gate import caller
from service.policies.building import bench_under, refuse_faults
from service.policies.changes import changed_fields, open_plans
from service.policies.shape import LocalPolicy
from service.problems import FieldError, Problem
from service.records.bodies import read_body, wrong
from service.schemas.policies import PolicyDecision, PolicyDiff, PolicyPage, PolicyProposal, PolicyShape
from service.services import Services, services
from service.store.writer import StoreBusyError, StoreDownError

router = APIRouter(prefix="/v1/policies", tags=["policies"])
_BODY = ("body-not-json", "content-not-json", "body-too-large", "invalid-request", "busy", "store-unavailable")
_ALONE = "There is one user here and no login, so nobody else can confirm: the same user does."
Number = Annotated[int, Path(ge=0, le=2**31 - 1, description="Its number; 0 is what is shipped.")]


@router.get(
    "",
    response_class=Json,
    summary="Versions and proposals of the local policy, newest first",
    responses={
        200: described(PolicyPage, "One page.", {"page": examples.PAGE}),
        **problems("invalid-request", "store-unavailable"),
    },
)
async def list_policies(
    request: Request,
    limit: Annotated[int, Query(ge=1, le=200, description="Lines on a page.")] = 50,
    after: Annotated[int | None, Query(ge=1, le=2**31 - 1, description="The 'next' of the page before.")] = None,
) -> Response:
    """``in_force`` is 0 while nothing but what is shipped holds."""
    desk = services(request)
    rows, more = await run_in_threadpool(desk.policies.page, after, limit)
    names = await run_in_threadpool(_names, desk, rows)
    page: dict[str, Any] = {"in_force": desk.policies.number, "policies": [_line(row, names) for row in rows]}
    return from_document({**page, "next": rows[-1].n} if more else page)


@router.get(
    "/current",
    response_class=Json,
    summary="The policy in force",
    responses={
        200: described(PolicyShape, "Every limit.", {"local": examples.SHAPE, "shipped": examples.SHIPPED}),
        **problems("store-unavailable"),
    },
)
async def current_policy(request: Request) -> Response:
    """Other servers take a new version over within a second or so; each reply names the version it was made under."""
    desk = services(request)
    await run_in_threadpool(desk.policies.refresh)
    return from_document(await run_in_threadpool(_shown, desk, desk.policies.number))


@router.get(
    "/{number}",
    response_class=Json,
    summary="One version or proposal",
    responses={
        200: described(PolicyShape, "Every limit.", {"local": examples.SHAPE}),
        **problems("invalid-request", "no-such-policy", "store-unavailable"),
    },
)
async def get_policy(request: Request, number: Number) -> Response:
    """Versions are never changed and never deleted."""
    return from_document(await run_in_threadpool(_shown, services(request), number))


@router.get(
    "/{number}/diff",
    response_class=Json,
    summary="What a proposal would change against the version in force",
    responses={
        200: described(PolicyDiff, "Fields, and open plans.", {"proposal": examples.DIFF}),
        **problems("invalid-request", "no-such-policy", "store-unavailable"),
    },
)
async def get_diff(request: Request, number: Number) -> Response:
    """The newest 1000 open plans are planned again under it. Open: planned, held or approved, and not recorded."""
    desk = services(request)
    local = await run_in_threadpool(_policy, desk, number)
    row = await run_in_threadpool(desk.policies.line, number)
    found = await run_in_threadpool(_diff, desk, local)
    if row is not None:
        found = {"n": number, "state": row.state, **found}
    waits = row is not None and row.state == "proposed"
    return from_document({**found, "next": _next(request, number) if waits else "Nothing: it is no open proposal."})


@router.post(
    "",
    status_code=201,
    response_class=Json,
    summary="Propose a policy, or try what it would change",
    responses={
        200: described(PolicyDiff, "What it would change; nothing was stored.", {"tried": examples.DRY}),
        201: described(PolicyDiff, "Stored as a proposal; what it would change.", {"proposed": examples.DIFF}),
        **problems("looser-than-the-law", *_BODY),
    },
    openapi_extra={"requestBody": shape_body("PolicyProposal", {"propose": examples.PROPOSED, "try": examples.TRIED})},
)
async def propose_policy(request: Request) -> Response:
    """The body holds the whole policy: what is left out takes the value that is shipped."""
    desk, who = services(request), caller(request)
    body = read_body(await json_object(request), PolicyProposal)
    local: LocalPolicy = body["policy"]
    refuse_faults(local)
    await run_in_threadpool(desk.policies.refresh)
    based_on = desk.policies.number
    found = await run_in_threadpool(_diff, desk, local)
    if body.get("dry_run", False):
        return from_document({**found, "next": "Nothing was stored. Send it without dry_run to propose it."})
    if not found["changes"]:
        raise wrong([FieldError("/policy", "changes nothing of the version in force")])
    try:
        number = await desk.policies.propose(local, based_on, body["reason"].strip(), who.id)
    except StoreBusyError:
        raise Problem("busy", "Too many requests are waiting to be stored.") from None
    except StoreDownError:
        raise Problem("store-unavailable", "The proposal could not be stored.") from None
    told = {"n": number, "state": "proposed", **found, "next": _next(request, number)}
    return Json(orjson.dumps(told), 201, {"Location": f"/v1/policies/{number}"})


@router.post(
    "/{number}/decision",
    response_class=Json,
    summary="Confirm or decline a proposal",
    responses={
        200: described(PolicyShape, "Where it stands now.", {"in_force": examples.SHAPE}),
        **problems("no-such-policy", "own-proposal", "already-decided", "policy-moved-on", *_BODY),
    },
    openapi_extra={"requestBody": shape_body("PolicyDecision", examples.DECIDED)},
)
async def decide_policy(request: Request, number: Number) -> Response:
    """A second person confirms; the proposer may withdraw a proposal by declining it. A confirmed policy holds at once."""
    desk, who = services(request), caller(request)
    body = read_body(await json_object(request), PolicyDecision)
    confirm = body["decision"] == "confirm"
    row = await run_in_threadpool(desk.policies.line, number)
    if row is None:
        raise Problem("no-such-policy", "No proposal has this number.")
    if confirm and row.proposed_by == who.id and who.via != "local":
        raise Problem("own-proposal", "The policy was proposed by the same account.")
    try:
        await desk.policies.decide(number, confirm, body["reason"].strip(), who.id)
    except StoreBusyError:
        raise Problem("busy", "Too many requests are waiting to be stored.") from None
    except StoreDownError:
        raise Problem("store-unavailable", "The decision could not be stored.") from None
    found = await run_in_threadpool(_shown, desk, number)
    return from_document({**found, "note": _ALONE} if who.via == "local" else found)


def _next(request: Request, number: int) -> str:
    if caller(request).via == "local":
        return f"{_ALONE} POST /v1/policies/{number}/decision."
    return f"Another person with the right 'policy' confirms it: POST /v1/policies/{number}/decision."


def _diff(desk: Services, local: LocalPolicy) -> dict[str, Any]:
    number = desk.policies.number
    before = _policy(desk, number)
    return {
        "based_on": number,
        "changes": changed_fields(before, local),
        "open_plans": open_plans(desk.engine, bench_under(local, number + 1, desk.policies.base)),
    }


def _policy(desk: Services, number: int) -> LocalPolicy:
    found = desk.policies.get(number)
    if found is None:
        raise Problem("no-such-policy", "No policy has this number.")
    return found


def _shown(desk: Services, number: int) -> dict[str, Any]:
    local = _policy(desk, number)
    row = desk.policies.line(number)
    told = {"policy": local.model_dump(mode="json", exclude_none=True)}
    if row is None:
        state = "in force" if desk.policies.number == 0 else "replaced"
        line = {
            "n": 0,
            "version": desk.policies.base.policy.version,
            "state": state,
            "name": local.name,
            "pack": local.pack,
        }
        return {**line, **told}
    return {**_line(row, _names(desk, [row])), **told}


def _line(row: Row[Any], names: dict[str, str]) -> dict[str, Any]:
    kept = orjson.loads(row.document)
    line = {
        "n": row.n,
        "version": f"{row.n}+{row.digest}",
        "state": row.state,
        "name": kept["name"],
        "pack": kept["pack"],
        "at": row.at,
        "proposed_by": row.proposed_by,
        "proposed_by_name": names.get(row.proposed_by),
        "reason": row.reason,
        "based_on": row.based_on,
        "decided_at": row.decided_at,
        "decided_by": row.decided_by,
        "decided_by_name": names.get(row.decided_by or ""),
        "decision_reason": row.decision_reason,
    }
    return {key: value for key, value in line.items() if value is not None}


def _names(desk: Services, rows: list[Row[Any]]) -> dict[str, str]:
    ids = {row.proposed_by for row in rows} | {row.decided_by for row in rows if row.decided_by}
    return desk.door.accounts.names(sorted(ids))
