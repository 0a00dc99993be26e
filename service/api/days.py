"""Prep days: POST and GET /v1/days, and the sheet of a day."""

from typing import Annotated

import orjson
from fastapi import APIRouter, Query
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from service.api import examples_days as examples
from service.api.bodies import json_object
from service.api.contract import IDEMPOTENCY_KEY, problems
from service.api.contract_records import PDF
from service.api.contract_shelf import shape_body
from service.api.day_lines import read_day
from service.api.described import described
from service.api.respond import Json, from_document
from service.audit.chain import Entry
from service.days.making import Room, make_day
from service.paper.days import day_sheet
from service.people.gate import caller
from service.people.rights import ALL_PLANS, Caller
from service.plans.ids import new_id, read_id
from service.problems import Problem
from service.repeats import Answer, Finish
from service.schemas.days import DayList, PrepDay
from service.services import services
from service.store.writer import StoreBusyError, StoreDownError

router = APIRouter(prefix="/v1/days", tags=["days"])
_TEXT = {"schema": {"type": "string"}}
_HEADERS = {
    "Location": {**_TEXT, "description": "Where the day is kept."},
    "Prepwright-Audit-Head": {**_TEXT, "description": "Its own audit entry, number:hash. Keep it as a receipt."},
}


@router.post(
    "",
    status_code=201,
    response_class=Json,
    summary="Plan a prep day: requests merged, totals, order of work, ready times",
    responses={
        201: described(PrepDay, "The day.", {"day": examples.DAY}, _HEADERS),
        **problems(
            "body-not-json", "content-not-json", "body-too-large", "invalid-request", "in-flight", "key-reused", "busy",
            "store-unavailable",
        ),
    },
    openapi_extra={"requestBody": shape_body("PrepDayBody", {"week": examples.BODY}), "parameters": [IDEMPOTENCY_KEY]},
)  # fmt: skip
async def make_prep_day(request: Request) -> Response:
    """Requests whose substance, form and strength agree are one preparation with its own plan.

    What is held, refused or asks a question stands apart, and nothing of it is merged or printed. All is stored in one
    transaction, or nothing.
    """
    desk, who = services(request), caller(request)
    on, lines = read_day(await json_object(request))

    async def answer(finish: Finish | None) -> Answer:
        room = Room(desk.answer, desk.bench, desk.archive, desk.holds)
        document, writes = await make_day(room, on, lines, who.id)
        day = new_id()
        write = desk.days.write(day, document, who.id)

        def told(entry: Entry) -> Answer:
            headers = {"Location": f"/v1/days/{day}", "Prepwright-Audit-Head": f"{entry.seq}:{entry.hash}"}
            return Answer(201, headers, orjson.dumps({"id": day, "at": entry.at, **document}))

        if finish is not None:
            write = write.followed_by(lambda entry: finish(told(entry)))
        try:
            return told(await desk.writer.write(write, *writes))
        except StoreBusyError:
            raise Problem("busy", "Too many requests are waiting to be stored.") from None
        except StoreDownError:
            raise Problem("store-unavailable", "The prep day could not be stored; nothing of it was.") from None

    return await desk.repeats.once(request, who.id, answer)


@router.get(
    "",
    response_class=Json,
    summary="Prep days, newest first",
    responses={
        200: described(DayList, "One page, newest first.", {"page": examples.LIST}),
        **problems("invalid-request", "store-unavailable"),
    },
)
async def list_prep_days(
    request: Request,
    limit: Annotated[int, Query(ge=1, le=200, description="Lines on a page.")] = 50,
    after: Annotated[int | None, Query(ge=1, le=2**62, description="The 'next' of the page before.")] = None,
) -> Response:
    """Each with how many were asked for, how many preparations they are, and how many stand apart."""
    who = caller(request)
    lines, following = await run_in_threadpool(
        services(request).days.page, after, limit, None if who.sees_all else who.id
    )
    return from_document({"days": lines, **({} if following is None else {"next": following})})


@router.get(
    "/{day_id}",
    response_class=Json,
    summary="One prep day as it stands now",
    responses={
        200: described(PrepDay, "The day.", {"day": examples.DAY}),
        **problems("no-such-day", "store-unavailable"),
    },
)
async def get_prep_day(request: Request, day_id: str) -> Response:
    """With what was withdrawn or decided since, and where things stand on the shelf for those who may see it."""
    who = caller(request)
    own, only = _id(day_id), None if who.sees_all else who.id
    return from_document(await run_in_threadpool(services(request).days.get, own, only, _sees_shelf(who)))


@router.get(
    "/{day_id}/sheet",
    response_class=Response,
    summary="The sheet of a prep day",
    responses={
        200: PDF,
        **problems("no-such-day", "nothing-to-make", "printing-not-installed", "store-unavailable"),
    },
)
async def get_day_sheet(request: Request, day_id: str) -> Response:
    """A4: order of work, pick list, totals and ready times, with tick boxes. What stands apart or was withdrawn is not on it."""
    who = caller(request)
    own, only = _id(day_id), None if who.sees_all else who.id
    document = await run_in_threadpool(services(request).days.get, own, only, _sees_shelf(who))
    if all("withdrawn" in one for one in document["preparations"]):
        raise Problem(
            "nothing-to-make", "Nothing of this day may be printed: every request stands apart or was withdrawn."
        )
    pages = await run_in_threadpool(day_sheet, document)
    return Response(pages, 200, {"Content-Disposition": f'inline; filename="day-{own}.pdf"'}, "application/pdf")


def _sees_shelf(who: Caller) -> bool:
    return bool(who.rights & {ALL_PLANS, "record:write"})


def _id(typed: str) -> str:
    found = read_id(typed)
    if found is None:
        raise Problem("no-such-day", "No prep day has this id.")
    return found
