"""The shelf: /v1/shelf, its bottles, what happens to them, and the family of each."""

from typing import Annotated, Any

import orjson
from fastapi import APIRouter, Query
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from service.api import contract_shelf as contract
from service.api.bodies import json_object
from service.api.contract import IDEMPOTENCY_KEY, problems
from service.api.records import stored
from service.api.respond import Json, from_document
from service.api.shelf_tables import Wanted
from service.audit.chain import Entry
from service.people.gate import caller
from service.plans.ids import read_id
from service.problems import Problem
from service.records.bodies import read_body
from service.repeats import Answer, Finish
from service.schemas.shelf import BottleBody, EventBody
from service.services import services

router = APIRouter(tags=["shelf"])
_BODY = (
    "body-not-json", "content-not-json", "body-too-large", "invalid-request", "in-flight", "key-reused", "busy", "store-unavailable",
)  # fmt: skip


@router.post(
    "/v1/shelf",
    status_code=201,
    response_class=Json,
    summary="Put a bottle on the shelf",
    responses={201: contract.ADDED, **problems("no-such-preparation", "bottle-not-usable", *_BODY)},
    openapi_extra={"requestBody": contract.BOTTLE_BODY, "parameters": [IDEMPOTENCY_KEY]},
)
async def add_bottle(request: Request) -> Response:
    """A reagent, a stock, or a preparation made here; the form must be the one on the bottle."""
    desk, who, body = services(request), caller(request), read_body(await json_object(request), BottleBody)

    async def answer(finish: Finish | None) -> Answer:
        keep = None if finish is None else lambda document, entry: finish(_told(document, entry))
        return _told(*await stored(desk.shelf.add(body, who.id, keep)))

    return await desk.repeats.once(request, who.id, answer)


@router.get(
    "/v1/shelf",
    response_class=Json,
    summary="What is on the shelf, newest first",
    responses={200: contract.PAGE, **problems("invalid-request", "store-unavailable")},
)
async def list_bottles(
    request: Request,
    wanted: Wanted,
    limit: Annotated[int, Query(ge=1, le=200, description="Bottles on a page.")] = 50,
    after: Annotated[int | None, Query(ge=1, le=2**62, description="The 'next' of the page before.")] = None,
) -> Response:
    """Each with what is left, what is free, and its state."""
    lines, following = await run_in_threadpool(services(request).shelf.page, wanted, after, limit)
    return from_document({"bottles": lines, **({} if following is None else {"next": following})})


@router.get(
    "/v1/shelf/{bottle_id}",
    response_class=Json,
    summary="One bottle with all that happened to it",
    responses={200: contract.BOTTLE, **problems("no-such-bottle", "store-unavailable")},
)
async def get_bottle(request: Request, bottle_id: str) -> Response:
    """Nothing is deleted: a bottle that is withdrawn is still found."""
    return from_document(await run_in_threadpool(services(request).shelf.get, _id(bottle_id)))


@router.post(
    "/v1/shelf/{bottle_id}/events",
    status_code=201,
    response_class=Json,
    summary="Take, hand out, reserve, release, quarantine, clear or withdraw",
    responses={201: contract.DONE, **problems("no-such-bottle", "bottle-not-usable", "not-enough-left", *_BODY)},
    openapi_extra={"requestBody": contract.EVENT_BODY, "parameters": [IDEMPOTENCY_KEY]},
)
async def add_event(request: Request, bottle_id: str) -> Response:
    """A quarantine reaches everything made from the bottle; a preparation can be quarantined, cleared and withdrawn too."""
    desk, who, body = services(request), caller(request), read_body(await json_object(request), EventBody)
    wanted = _id(bottle_id)

    async def answer(finish: Finish | None) -> Answer:
        keep = None if finish is None else lambda document, entry: finish(_told(document, entry))
        return _told(*await stored(desk.shelf.happen(wanted, body, who.id, keep)))

    return await desk.repeats.once(request, who.id, answer)


@router.get(
    "/v1/shelf/{bottle_id}/family",
    response_class=Json,
    summary="Everything made or filled from a bottle or preparation",
    responses={200: contract.FAMILY, **problems("no-such-bottle", "store-unavailable")},
)
async def get_family(request: Request, bottle_id: str) -> Response:
    """Lot, stock, dilution, and the bottles handed out, nearest first."""
    return from_document(await run_in_threadpool(services(request).shelf.family, _id(bottle_id)))


def _told(document: dict[str, Any], entry: Entry) -> Answer:
    headers = {"Location": f"/v1/shelf/{document['id']}", "Prepwright-Audit-Head": f"{entry.seq}:{entry.hash}"}
    return Answer(201, headers, orjson.dumps(document))


def _id(typed: str) -> str:
    found = read_id(typed)
    if found is None:
        raise Problem("no-such-bottle", "Nothing on the shelf has this id.")
    return found
