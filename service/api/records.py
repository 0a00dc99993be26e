"""The bench record: POST /v1/plans/{id}/preparations, GET /v1/preparations, corrections and standardisations."""

from collections.abc import Awaitable
from typing import Annotated, Any

import orjson
from fastapi import APIRouter, Query
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from service.api import contract_records as contract
from service.api.bodies import json_object
from service.api.contract import IDEMPOTENCY_KEY, problems
from service.api.respond import Json, from_document
from service.audit.chain import Entry
from service.people.gate import caller
from service.plans.ids import read_id
from service.problems import Problem
from service.records.bodies import read_body
from service.repeats import Answer, Finish
from service.schemas.records import CorrectionBody, PreparationBody
from service.schemas.standards import StandardisationBody
from service.services import services
from service.store.writer import StoreBusyError, StoreDownError

router = APIRouter(tags=["record"])
_BODY = ("body-not-json", "content-not-json", "body-too-large", "invalid-request", "busy", "store-unavailable")
_SHELF = ("bottle-not-usable", "bottle-not-as-planned", "not-enough-left")


@router.post(
    "/v1/plans/{plan_id}/preparations",
    status_code=201,
    response_class=Json,
    summary="Record what was really made from a plan, or how it failed",
    responses={
        201: contract.RECORDED,
        **problems("no-such-plan", "nothing-to-make", *_SHELF, "not-among-people", "withdrawn", "in-flight",
                   "key-reused", *_BODY),
    },
    openapi_extra={"requestBody": contract.RECORD_BODY, "parameters": [IDEMPOTENCY_KEY]},
)
async def record_preparation(request: Request, plan_id: str) -> Response:
    """The real strength with its uncertainty, what it differs by, and whether the figures asked for still hold."""
    body = read_body(await json_object(request), PreparationBody)
    wanted = read_id(plan_id)
    if wanted is None:
        raise Problem("no-such-plan", "No stored plan has this id.")
    desk, who = services(request), caller(request).id

    def told(document: dict[str, Any], entry: Entry) -> Answer:
        return Answer(201, _receipt(entry, f"/v1/preparations/{document['id']}"), orjson.dumps(document))

    async def answer(finish: Finish | None) -> Answer:
        await run_in_threadpool(desk.withdrawals.refuse, wanted)
        await run_in_threadpool(desk.holds.refuse_others, wanted, who)
        await run_in_threadpool(desk.shelf.refuse_quarantined, body)
        keep = None if finish is None else lambda document, entry: finish(told(document, entry))
        return told(*await stored(desk.records.record(wanted, body, who, keep)))

    return await desk.repeats.once(request, who, answer)


@router.post(
    "/v1/plans/{plan_id}/trial",
    response_class=Json,
    summary="What these readings would make; nothing is stored",
    responses={
        200: contract.TRIED,
        **problems("no-such-plan", "nothing-to-make", *_SHELF, "body-not-json", "content-not-json", "body-too-large",
                   "invalid-request", "store-unavailable"),
    },
    openapi_extra={"requestBody": contract.RECORD_BODY},
)  # fmt: skip
async def try_preparation(request: Request, plan_id: str) -> Response:
    """The same as the record would say, to look at while the readings are typed in."""
    body = read_body(await json_object(request), PreparationBody)
    wanted = read_id(plan_id)
    if wanted is None:
        raise Problem("no-such-plan", "No stored plan has this id.")
    return from_document(await run_in_threadpool(services(request).records.trial, wanted, body))


@router.get(
    "/v1/preparations",
    response_class=Json,
    summary="What was made, newest first",
    responses={200: contract.PREPARATION_LIST, **problems("invalid-request", "store-unavailable")},
)
async def list_preparations(
    request: Request,
    limit: Annotated[int, Query(ge=1, le=200, description="Lines on a page.")] = 50,
    after: Annotated[int | None, Query(ge=1, le=2**62, description="The 'next' of the page before.")] = None,
) -> Response:
    """Each with its newest strength; failed ones are listed too."""
    who = caller(request)
    only = None if who.sees_all else who.id
    lines, following = await run_in_threadpool(services(request).records.page, after, limit, only)
    return from_document({"preparations": lines, **({} if following is None else {"next": following})})


@router.get(
    "/v1/preparations/{preparation_id}",
    response_class=Json,
    summary="One preparation with every entry of its record",
    responses={200: contract.PREPARATION, **problems("no-such-preparation", "store-unavailable")},
)
async def get_preparation(request: Request, preparation_id: str) -> Response:
    """The newest entry in full, and the chain of entries: what was first written is never lost."""
    standing = await run_in_threadpool(services(request).records.standing, preparation(preparation_id))
    return from_document(standing.published())


@router.post(
    "/v1/preparations/{preparation_id}/corrections",
    status_code=201,
    response_class=Json,
    summary="Correct a record by adding an entry",
    responses={201: contract.CORRECTED, **problems("no-such-preparation", "nothing-to-make", *_SHELF, *_BODY)},
    openapi_extra={"requestBody": contract.CORRECTION_BODY},
)
async def correct_preparation(request: Request, preparation_id: str) -> Response:
    """The body holds the whole record as it should read; the reply's chain shows each field that changed."""
    body = read_body(await json_object(request), CorrectionBody)
    document, entry = await stored(
        services(request).records.correct(preparation(preparation_id), body, caller(request).id)
    )
    return _created(document, entry, f"/v1/preparations/{document['id']}")


@router.post(
    "/v1/preparations/{preparation_id}/standardisations",
    status_code=201,
    response_class=Json,
    summary="Standardise a solution from raw titres",
    responses={201: contract.STANDARDISED,
               **problems("no-such-preparation", "nothing-to-make", "cannot-be-standardised", *_BODY)},
    openapi_extra={"requestBody": contract.STANDARDISE_BODY},
)  # fmt: skip
async def standardise(request: Request, preparation_id: str) -> Response:
    """Where it is accepted the solution and everything made from it get the new value in the same transaction."""
    body = read_body(await json_object(request), StandardisationBody)
    wanted = preparation(preparation_id)
    document, entry = await stored(services(request).standards.standardise(wanted, body, caller(request).id))
    return _created(document, entry, f"/v1/preparations/{wanted}/standardisations")


@router.get(
    "/v1/preparations/{preparation_id}/standardisations",
    response_class=Json,
    summary="The standardisations of a solution",
    responses={200: contract.STANDARDISATION_LIST, **problems("no-such-preparation", "store-unavailable")},
)
async def list_standardisations(request: Request, preparation_id: str) -> Response:
    """Those that were not accepted are kept too."""
    found = await run_in_threadpool(services(request).standards.of, preparation(preparation_id))
    return from_document({"standardisations": found})


def preparation(typed: str) -> str:
    """The id as stored. Raises Problem for what can be none."""
    found = read_id(typed)
    if found is None:
        raise Problem("no-such-preparation", "No preparation has this id.")
    return found


async def stored(writing: Awaitable[tuple[dict[str, Any], Entry]]) -> tuple[dict[str, Any], Entry]:
    """What was written. Raises Problem where the store takes nothing on."""
    try:
        return await writing
    except StoreBusyError:
        raise Problem("busy", "Too many requests are waiting to be stored.") from None
    except StoreDownError:
        raise Problem("store-unavailable", "The record could not be stored.") from None


def _created(document: dict[str, Any], entry: Entry, location: str) -> Json:
    return Json(orjson.dumps(document), 201, _receipt(entry, location))


def _receipt(entry: Entry, location: str) -> dict[str, str]:
    return {"Location": location, "Prepwright-Audit-Head": f"{entry.seq}:{entry.hash}"}
