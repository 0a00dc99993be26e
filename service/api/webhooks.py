"""/v1/webhooks: who is told of events, the secrets that sign them, and what was sent."""

from collections.abc import Awaitable
from typing import Annotated, Any, TypeVar

import orjson
from fastapi import APIRouter, Query
from sqlalchemy import Row
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from service.api import examples_webhooks as examples
from service.api.bodies import json_object
from service.api.contract import problems
from service.api.contract_shelf import shape_body
from service.api.described import described
from service.api.respond import Json, from_document
from service.outbox.address import AddressError
from service.people.gate import caller
from service.plans.ids import read_id
from service.problems import FieldError, Problem
from service.records.bodies import read_body, wrong
from service.schemas.webhooks import (
    DeliveryPage,
    DeliveryState,
    NewSecret,
    RotationBody,
    Subscription,
    SubscriptionList,
    SwitchBody,
    WebhookBody,
)
from service.services import Services, services
from service.store.writer import StoreBusyError, StoreDownError

router = APIRouter(prefix="/v1/webhooks", tags=["webhooks"])
_BODY = ("body-not-json", "content-not-json", "body-too-large", "invalid-request", "busy", "store-unavailable")
_OVERLAP_HOURS = 24.0
_SECRET_HEADERS = {"Cache-Control": "no-store"}
Found = TypeVar("Found")


@router.post(
    "",
    status_code=201,
    response_class=Json,
    summary="Subscribe to events",
    responses={
        201: described(NewSecret, "The subscription, and its secret.", {"added": examples.WITH_SECRET}),
        **problems(*_BODY),
    },
    openapi_extra={"requestBody": shape_body("WebhookBody", {"subscribe": examples.NEW})},
)
async def subscribe(request: Request) -> Response:
    """Events are signed by the scheme of Standard Webhooks; docs/webhooks.md says how to check one."""
    desk = services(request)
    body = read_body(await json_object(request), WebhookBody)
    try:
        found, secret = await _stored(desk.outbox.subscribe(body["url"], body["types"], caller(request).id))
    except AddressError as fault:
        raise wrong([FieldError("/url", str(fault))]) from None
    told = {**await run_in_threadpool(_shown, desk, found), "secret": secret}
    return Json(orjson.dumps(told), 201, {**_SECRET_HEADERS, "Location": f"/v1/webhooks/{found}"})


@router.get(
    "",
    response_class=Json,
    summary="Every subscription",
    responses={
        200: described(SubscriptionList, "One page, oldest first.", {"list": {"webhooks": [examples.SUBSCRIPTION]}}),
        **problems("invalid-request", "store-unavailable"),
    },
)
async def list_webhooks(
    request: Request,
    limit: Annotated[int, Query(ge=1, le=200, description="Lines on a page.")] = 50,
    after: Annotated[int, Query(ge=0, le=2**62, description="The 'next' of the page before.")] = 0,
) -> Response:
    """Secrets are never shown again."""
    desk = services(request)

    def shown() -> dict[str, Any]:
        rows, more = desk.outbox.subscriptions(after, limit)
        return {"webhooks": [_document(desk, row) for row in rows], **({"next": rows[-1].seq} if more else {})}

    return from_document(await run_in_threadpool(shown))


@router.get(
    "/{webhook_id}",
    response_class=Json,
    summary="One subscription",
    responses={
        200: described(Subscription, "As it stands.", {"subscription": examples.SUBSCRIPTION}),
        **problems("no-such-webhook", "store-unavailable"),
    },
)
async def get_webhook(request: Request, webhook_id: str) -> Response:
    """A subscription is turned off, never deleted."""
    return from_document(await run_in_threadpool(_shown, services(request), webhook_id))


@router.post(
    "/{webhook_id}/secret",
    status_code=201,
    response_class=Json,
    summary="Make a new secret",
    responses={
        201: described(
            NewSecret, "The new secret; the old ones sign beside it for a while.", {"rotated": examples.ROTATED}
        ),
        **problems("no-such-webhook", *_BODY),
    },
    openapi_extra={
        "requestBody": shape_body(
            "RotationBody", {"rotate": {"overlap_hours": 24.0}, "at_once": {"overlap_hours": 0.0}}
        )
    },
)
async def rotate(request: Request, webhook_id: str) -> Response:
    """While two secrets hold, each message carries a signature by each: the receiver changes over when it suits."""
    desk = services(request)
    body = read_body(await json_object(request), RotationBody)
    row = await run_in_threadpool(_row, desk, webhook_id)
    secret = await _stored(desk.outbox.rotate(row.id, body.get("overlap_hours", _OVERLAP_HOURS), caller(request).id))
    told = {**await run_in_threadpool(_shown, desk, row.id), "secret": secret}
    return Json(orjson.dumps(told), 201, _SECRET_HEADERS)


@router.post(
    "/{webhook_id}/active",
    response_class=Json,
    summary="Turn a subscription on or off",
    responses={
        200: described(Subscription, "As it stands now.", {"off": examples.OFF}),
        **problems("no-such-webhook", *_BODY),
    },
    openapi_extra={"requestBody": shape_body("SwitchBody", {"off": {"active": False}, "on": {"active": True}})},
)
async def switch(request: Request, webhook_id: str) -> Response:
    """What waits when it is turned off is dropped, and shown as such."""
    desk = services(request)
    body = read_body(await json_object(request), SwitchBody)
    row = await run_in_threadpool(_row, desk, webhook_id)
    await _stored(desk.outbox.switch(row.id, body["active"], caller(request).id))
    return from_document(await run_in_threadpool(_shown, desk, row.id))


@router.get(
    "/{webhook_id}/deliveries",
    response_class=Json,
    summary="What was sent, and what waits, newest first",
    responses={
        200: described(DeliveryPage, "One page.", {"page": examples.DELIVERIES}),
        **problems("invalid-request", "no-such-webhook", "store-unavailable"),
    },
)
async def list_deliveries(
    request: Request,
    webhook_id: str,
    state: Annotated[DeliveryState | None, Query(description="Only these: waiting, sent, dead or dropped.")] = None,
    limit: Annotated[int, Query(ge=1, le=200, description="Lines on a page.")] = 50,
    after: Annotated[int | None, Query(ge=1, le=2**62, description="The 'next' of the page before.")] = None,
) -> Response:
    """Dead: the receiver did not take it in the time that is set (72 hours), or said 410."""
    desk = services(request)
    row = await run_in_threadpool(_row, desk, webhook_id)
    rows, more = await run_in_threadpool(desk.outbox.page, row.id, state, after, limit)
    page: dict[str, Any] = {"deliveries": [_delivery(one) for one in rows]}
    return from_document({**page, "next": rows[-1].seq} if more else page)


async def _stored(writing: Awaitable[Found]) -> Found:
    try:
        return await writing
    except StoreBusyError:
        raise Problem("busy", "Too many requests are waiting to be stored.") from None
    except StoreDownError:
        raise Problem("store-unavailable", "The subscription could not be stored.") from None


def _row(desk: Services, typed: str) -> Row[Any]:
    wanted = read_id(typed)
    row = desk.outbox.get(wanted) if wanted else None
    if row is None:
        raise Problem("no-such-webhook", "No subscription has this id.")
    return row


def _shown(desk: Services, typed: str) -> dict[str, Any]:
    return _document(desk, _row(desk, typed))


def _document(desk: Services, row: Row[Any]) -> dict[str, Any]:
    return {
        "id": row.id,
        "at": row.at,
        "url": row.url,
        "types": row.types.split(" "),
        "active": bool(row.active),
        "secrets": len(desk.outbox.live_secrets(row.id)),
    }


def _delivery(row: Row[Any]) -> dict[str, Any]:
    line = {
        "n": row.seq,
        "message": row.message_id,
        "type": row.type,
        "at": row.at,
        "state": row.state,
        "attempts": row.attempts,
        "next_at": row.next_at if row.state == "waiting" else None,
        "done_at": row.done_at,
        "answer": row.answer,
    }
    return {key: value for key, value in line.items() if value is not None}
