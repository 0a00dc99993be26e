"""GET /v1/health: is the process alive, can it take requests."""

import orjson
from fastapi import APIRouter
from sqlalchemy import func, select
from sqlalchemy.exc import SQLAlchemyError
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response

from service.api.contract import HEALTH, LIVE, METRICS, problems
from service.api.respond import Json, from_document
from service.audit import log
from service.audit.chain import Head
from service.metrics import CONTENT_TYPE, Metrics
from service.services import Services, services
from service.store.tables import plans
from service.store.tables_approvals import holds

router = APIRouter(prefix="/v1/health", tags=["health"])
measures = APIRouter(tags=["health"])
_REPLIES = select(plans.c.outcome, func.count()).group_by(plans.c.outcome)
_HOLDS = select(holds.c.state, func.count()).group_by(holds.c.state)
SINGLE = "none: single user, on this machine only"
ACCOUNTS = "accounts: name and password, API key or token"


@router.get("/live", response_class=Json, summary="The process runs", responses={200: LIVE})
async def live() -> Response:
    """Touches nothing but the process."""
    return from_document({"live": True})


@router.get(
    "",
    response_class=Json,
    summary="The service can take requests",
    responses={200: HEALTH, 503: {**HEALTH, "description": "The database does not answer."}},
)
async def ready(request: Request) -> Response:
    """Reads the newest audit entry; 503 when the database does not answer."""
    desk = services(request)
    head = await run_in_threadpool(_head, desk)
    state: dict[str, object] = {
        "live": True,
        "ready": head is not None,
        "store": desk.engine.dialect.name,
        "login": SINGLE if head is not None and await desk.door.single_user() else ACCOUNTS,
        "audit_head_agreed_at_start": desk.head_agrees,
        "versions": {**desk.versions, "policy": desk.bench.policy.version},
    }
    if desk.provider.issuer:
        state["sign_in"] = "/v1/sign-in"
    if head is not None:
        state["audit_head"] = {"seq": head.seq, "hash": head.hash}
    return Json(orjson.dumps(state), 200 if head is not None else 503)


def _head(desk: Services) -> Head | None:
    try:
        with desk.engine.connect() as connection:
            return log.head(connection)
    except SQLAlchemyError:
        return None


@measures.get(
    "/metrics",
    response_class=PlainTextResponse,
    summary="Counters for a monitoring system, in the Prometheus text format",
    responses={200: METRICS, **problems("store-unavailable")},
)
async def metrics(request: Request) -> Response:
    """Requests and their times are those of this process; replies, holds and log entries those of the whole store."""
    kept: Metrics = request.app.state.metrics
    desk = services(request)
    await run_in_threadpool(_count, desk, kept)
    return Response(kept.text(), media_type=CONTENT_TYPE)


def _count(desk: Services, kept: Metrics) -> None:
    with desk.engine.connect() as connection:
        kept.entries.set(log.head(connection).seq)
        for outcome, count in connection.execute(_REPLIES):
            kept.replies.labels(outcome).set(count)
        for state, count in connection.execute(_HOLDS):
            kept.holds.labels(state).set(count)
    kept.waiting.set(desk.writer.waiting)
