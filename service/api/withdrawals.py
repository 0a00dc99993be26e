"""POST /v1/plans/{id}/withdrawal: take a plan back with a reason; nothing is deleted."""

from typing import Any

import orjson
from fastapi import APIRouter
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from service.api import examples_approvals as examples
from service.api.bodies import json_object
from service.api.contract import problems
from service.api.decisions import LONGEST_REASON
from service.api.described import described, object_body
from service.api.records import stored
from service.api.respond import Json
from service.people.gate import caller
from service.plans.ids import read_id
from service.problems import FieldError, Problem
from service.schemas.approvals import WithdrawnShape
from service.services import Services, services

router = APIRouter(prefix="/v1", tags=["plans"])


@router.post(
    "/plans/{plan_id}/withdrawal",
    status_code=201,
    response_class=Json,
    summary="Withdraw a plan, with the reason",
    responses={
        201: described(WithdrawnShape, "It is withdrawn.", {"withdrawn": examples.WITHDRAWN}),
        **problems(
            "body-not-json", "content-not-json", "body-too-large", "invalid-request", "no-such-plan", "withdrawn",
            "busy", "store-unavailable",
        ),
    },
    openapi_extra={
        "requestBody": object_body(
            {"reason": {"type": "string", "minLength": 1, "maxLength": LONGEST_REASON, "pattern": r"\S"}},
            ["reason"],
            {"reason": {"reason": "The practical was moved to next term."}},
        )
    },
)  # fmt: skip
async def withdraw(request: Request, plan_id: str) -> Response:
    """No sheet, label or record is made from it afterwards, it leaves the queue, and its approval covers nothing more."""
    desk, who = services(request), caller(request)
    reason = _reason(await json_object(request))
    wanted = read_id(plan_id)
    only = None if who.sees_all or "record:write" in who.rights else who.id
    if wanted is None or await run_in_threadpool(desk.archive.get, wanted, only) is None:
        raise Problem("no-such-plan", "No stored plan has this id.")
    found, entry = await stored(desk.withdrawals.withdraw(wanted, who.id, reason))
    headers = {"Prepwright-Audit-Head": f"{entry.seq}:{entry.hash}"}
    return Json(orjson.dumps(named(desk, found)), 201, headers)


def named(desk: Services, withdrawn: dict[str, Any]) -> dict[str, Any]:
    """A withdrawal with the name of who made it, where that account still has one."""
    names = desk.door.accounts.names([withdrawn["by"]])
    return {**withdrawn, **({"name": names[withdrawn["by"]]} if withdrawn["by"] in names else {})}


def _reason(document: dict[str, Any]) -> str:
    errors = [FieldError(f"/{key}", "is no field here", ("reason",)) for key in document if key != "reason"]
    reason = document.get("reason")
    if not isinstance(reason, str) or not 0 < len(reason.strip()) <= LONGEST_REASON:
        errors.append(FieldError("/reason", f"must give a reason of at most {LONGEST_REASON} characters"))
    if errors or not isinstance(reason, str):
        raise Problem("invalid-request", "The reason cannot be used.", tuple(errors))
    return reason.strip().replace("\x00", "\u2400")
