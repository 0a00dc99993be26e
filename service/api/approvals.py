"""GET /v1/approvals and POST /v1/plans/{id}/approval: what waits, and who allows it."""

from typing import Annotated, Any, Literal

import orjson
from fastapi import APIRouter, Query
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from service import requests
from service.api import examples_approvals as examples
from service.api.bodies import json_object
from service.api.contract import IDEMPOTENCY_KEY, problems
from service.api.decisions import conditions_of, decision_body, read_decision
from service.api.described import described
from service.api.respond import Json, from_document
from service.approvals.archive import Standing
from service.approvals.held import NO_DATE
from service.approvals.issue import Approvals, Decision, may_be_issued
from service.approvals.settle import approval_document
from service.people.clock import now, stamp
from service.people.gate import caller
from service.plans.ids import read_id
from service.problems import FieldError, Problem
from service.repeats import Answer, Finish
from service.schemas.approvals import ApprovalShape, Queue
from service.services import Services, services
from service.store.writer import StoreBusyError, StoreDownError

router = APIRouter(prefix="/v1", tags=["approvals"])


@router.get(
    "/approvals",
    response_class=Json,
    summary="Held plans, worst first, then by the day they are needed",
    responses={
        200: described(Queue, "One page.", {"page": examples.QUEUE}),
        **problems("invalid-request", "store-unavailable"),
    },
)
async def list_approvals(
    request: Request,
    state: Annotated[Literal["waiting", "approved", "declined"], Query(description="Where they stand.")] = "waiting",
    limit: Annotated[int, Query(ge=1, le=200, description="Lines on a page.")] = 50,
    after: Annotated[str | None, Query(max_length=60, description="The 'next' of the page before.")] = None,
) -> Response:
    """Two-person items come first, then plans that more checks hold; the same rank by date, then by age."""
    desk = services(request)
    found, more = await run_in_threadpool(desk.holds.queue, state, _place(after), limit)
    names = await run_in_threadpool(_names, desk, found)
    page: dict[str, Any] = {"approvals": [_line(desk, one, names) for one in found]}
    if more:
        last = found[-1].row
        page["next"] = f"{last.rank}.{last.needed_by}.{last.seq}"
    return from_document(page)


@router.post(
    "/plans/{plan_id}/approval",
    response_class=Json,
    summary="Allow or decline a held plan",
    responses={
        200: described(ApprovalShape, "Where the plan stands now.", {"approved": examples.APPROVED, "waiting": examples.WAITING}),
        **problems(
            "body-not-json", "content-not-json", "body-too-large", "invalid-request", "no-such-plan", "own-request",
            "not-approvable", "nothing-to-decide", "already-decided", "withdrawn", "in-flight", "key-reused", "busy", "store-unavailable",
        ),
    },
    openapi_extra={"requestBody": decision_body(), "parameters": [IDEMPOTENCY_KEY]},
)  # fmt: skip
async def decide(request: Request, plan_id: str) -> Response:
    """The reason is compulsory. Nobody decides about their own request; a two-person item needs two different people."""
    desk, who = services(request), caller(request)
    read = read_decision(await json_object(request))
    standing = await run_in_threadpool(_waiting, desk, plan_id)
    if standing.row.asker == who.id:
        raise Problem("own-request", "The plan was asked for by the same account.")
    held = desk.holds.read(orjson.loads(standing.row.document))
    if read.decision == "approve" and not held.approvable:
        raise Problem("not-approvable", "A danger that nobody may allow stands against this plan.")
    least = 1 if read.decision == "decline" else await run_in_threadpool(_needed_now, desk, standing)
    conditions = conditions_of(read.conditions, held, await run_in_threadpool(_ids, desk))
    decision = Decision(who.id, stamp(now()), read.decision, read.reason, conditions)

    names = await run_in_threadpool(_names, desk, [standing], who.id)

    def told(after: Approvals) -> Answer:
        return Answer(200, {}, orjson.dumps(_named(_document(Standing(standing.row, after)), names)))

    async def answer(finish: Finish | None) -> Answer:
        keep = None if finish is None else lambda after: finish(told(after))
        try:
            return told(await desk.holds.decide(standing.row.plan_id, decision, keep, least))
        except StoreBusyError:
            raise Problem("busy", "Too many requests are waiting to be stored.") from None
        except StoreDownError:
            raise Problem("store-unavailable", "The decision could not be stored.") from None

    return await desk.repeats.once(request, who.id, answer)


def _needed_now(desk: Services, standing: Standing) -> int:
    """How many people must allow a plan under the policy in force, where it was made under another. Raises Problem."""
    document = orjson.loads(standing.row.document)
    if document["versions"].get("policy") == desk.bench.policy.version or "request" not in document:
        return 1
    now_ = desk.answer(requests.read(document["request"]), desk.bench).document
    if now_["outcome"] == "refused":
        raise Problem("not-approvable", f"Under the policy in force it is refused: {now_['problem']['message']}")
    return desk.holds.read(now_).needs if now_["outcome"] == "held" else 1


def shown(desk: Services, standing: Standing) -> dict[str, Any]:
    """Where a held plan stands, with the names of who decided."""
    return _named(_document(standing), _names(desk, [standing]))


def _document(standing: Standing) -> dict[str, Any]:
    needed_by = None if standing.row.needed_by == NO_DATE else standing.row.needed_by
    found = approval_document(standing.approvals, None, needed_by)
    decisions = found.pop("decisions")
    found["may_be_issued"] = may_be_issued(standing.row, standing.approvals, now().date()) is None
    return {**found, "decisions": decisions}


def _waiting(desk: Services, plan_id: str) -> Standing:
    stored = read_id(plan_id)
    standing = desk.holds.standing(stored) if stored else None
    if standing is not None:
        return standing
    found = desk.archive.get(stored) if stored else None
    if found is None:
        raise Problem("no-such-plan", "No stored plan has this id.")
    outcome = orjson.loads(found[1])["outcome"]
    if outcome == "refused":
        raise Problem("not-approvable", "The request was refused; a refusal is not for anybody to allow.")
    raise Problem("nothing-to-decide", f"The outcome of this plan is {outcome}.")


def _line(desk: Services, standing: Standing, names: dict[str, str]) -> dict[str, Any]:
    row = standing.row
    document = orjson.loads(row.document)
    held = [f for f in document["findings"] if f["result"] == "fired" and f["severity"] == "hold"]
    line = {
        "plan": row.plan_id,
        "at": row.at,
        "asked_by": row.asker,
        "asked_by_name": names.get(row.asker),
        "text": row.text,
        "read_as": row.read_as,
        "reasons": [{"rule": f["rule"], "message": f["message"]} for f in held],
        "approvable": desk.holds.read(document).approvable,
        "approval": _named(_document(standing), names),
    }
    return {key: value for key, value in line.items() if value is not None}


def _named(document: dict[str, Any], names: dict[str, str]) -> dict[str, Any]:
    for decision in document["decisions"]:
        if decision["by"] in names:
            decision["name"] = names[decision["by"]]
    return document


def _names(desk: Services, standings: list[Standing], *more: str) -> dict[str, str]:
    ids = {*more} | {s.row.asker for s in standings} | {d.person for s in standings for d in s.approvals.decisions}
    return desk.door.accounts.names(sorted(ids))


def _ids(desk: Services) -> dict[str, str]:
    """The id of each account by its id and by its name."""
    return {key: p.id for p in desk.door.accounts.list() for key in (p.id, p.name)}


def _place(after: str | None) -> tuple[int, str, int] | None:
    if after is None:
        return None
    rank, _, rest = after.partition(".")
    needed_by, _, seq = rest.partition(".")
    if not (rank.isdecimal() and seq.isdecimal() and len(rank) <= 4 and len(seq) <= 18 and len(needed_by) == 10):
        fault = FieldError("/query/after", "is no 'next' of a page")
        raise Problem("invalid-request", "Parameters cannot be used.", (fault,))
    return int(rank), needed_by, int(seq)
