"""POST and GET /v1/plans: ask for a solution, find an earlier reply."""

from typing import Annotated, Any

import orjson
from fastapi import APIRouter, Query
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from service.api.approvals import shown
from service.api.bodies import asked, json_object
from service.api.contract import IDEMPOTENCY_KEY, OUTCOMES, PLAN_LIST, REPLY, ask_body, problems
from service.api.respond import Json, answer_of, from_document, kept_by, later_mark, reply_headers
from service.api.wishes import taken_out
from service.api.withdrawals import named
from service.approvals.settle import queue_write, settle
from service.days.class_sets import answered, with_class_set
from service.people.gate import caller
from service.plans.document import with_id
from service.plans.ids import read_id
from service.problems import Problem
from service.records.bodies import read_body
from service.repeats import Answer, Finish
from service.schemas.common import Outcome
from service.schemas.days import ClassSet
from service.services import Services, services
from service.store.writer import StoreBusyError, StoreDownError

router = APIRouter(prefix="/v1/plans", tags=["plans"])


@router.post(
    "",
    response_class=Json,
    summary="Ask for a solution, in plain words or as a typed request",
    responses={
        200: REPLY,
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
    openapi_extra={"requestBody": ask_body(), "parameters": [IDEMPOTENCY_KEY]},
)
async def make_plan(request: Request) -> Response:
    """Answers with one of six outcomes. The reply is given only after it is stored and logged.

    A ``class_set`` takes the place of the volume; how it adds up stands in the assumptions.
    """
    desk = services(request)
    body, who = await json_object(request), caller(request).id
    wish = taken_out(body)
    shared = read_body(body.pop("class_set"), ClassSet, "/class_set") if "class_set" in body else None
    question = asked(body)
    text = question if isinstance(question, str) else None
    if shared is not None:
        question, _ = with_class_set(question, shared)

    async def answer(finish: Finish | None) -> Answer:
        document = answered(desk.answer, desk.bench, text, question)
        try:
            settled = await settle(desk.holds, document, who, wish)
            stored = await desk.archive.store(
                text,
                settled.document,
                who,
                lambda plan_id: (queue_write(desk.holds, settled, plan_id, who, wish),),
                kept_by(finish),
            )
        except StoreBusyError:
            raise Problem("busy", "Too many requests are waiting to be stored.") from None
        except StoreDownError:
            raise Problem("store-unavailable", "The reply could not be stored, so it is not given.") from None
        return answer_of(stored)

    return await desk.repeats.once(request, who, answer)


@router.get(
    "/{plan_id}",
    response_class=Json,
    summary="An earlier reply, as it was given",
    responses={200: REPLY, **problems("no-such-plan", "store-unavailable")},
)
async def get_plan(request: Request, plan_id: str) -> Response:
    """The id may be typed in any case, with hyphens, I or L for 1 and O for 0."""
    stored_id = read_id(plan_id)
    who = caller(request)
    only = None if who.sees_all else who.id
    found = await run_in_threadpool(services(request).archive.get, stored_id, only) if stored_id else None
    if found is None:
        raise Problem("no-such-plan", "No stored plan has this id.")
    own_id, document, plan_hash = found
    desk = services(request)
    added = await run_in_threadpool(_added, desk, own_id)
    if not added:
        return Json(with_id(own_id, document), headers=reply_headers(own_id, plan_hash))
    more = orjson.dumps(added)
    headers = reply_headers(own_id, f"{plan_hash}.{later_mark(more)}")
    return Json(with_id(own_id, b"%b,%b" % (more[:-1], document[1:])), headers=headers)


def _added(desk: Services, plan_id: str) -> dict[str, Any]:
    """What came to a stored reply later: where it stands if it is held, and who withdrew it."""
    standing, gone = desk.holds.standing(plan_id), desk.withdrawals.of(plan_id)
    found: dict[str, Any] = {} if standing is None else {"approval": shown(desk, standing)}
    if gone is not None:
        found["withdrawn"] = named(desk, gone)
        if standing is not None:
            found["approval"]["may_be_issued"] = False
    return found


@router.get(
    "",
    response_class=Json,
    summary="Earlier replies, newest first",
    responses={200: PLAN_LIST, **problems("invalid-request", "store-unavailable")},
)
async def list_plans(
    request: Request,
    outcome: Annotated[Outcome | None, Query(description=f"Only this outcome: {', '.join(OUTCOMES)}.")] = None,
    limit: Annotated[int, Query(ge=1, le=200, description="Lines on a page.")] = 50,
    after: Annotated[int | None, Query(ge=1, le=2**62, description="The 'next' of the page before.")] = None,
) -> Response:
    """Paged by place, not by count: a page stays right while new plans come in."""
    who = caller(request)
    only = None if who.sees_all else who.id
    lines, following = await run_in_threadpool(services(request).archive.page, outcome, after, limit, only)
    page: dict[str, object] = {"plans": lines}
    if following is not None:
        page["next"] = following
    return from_document(page)
