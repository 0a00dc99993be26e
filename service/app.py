"""The application: endpoints, problem documents, and the services opened at start-up.

Run it with ``prepwright serve``, or with any ASGI server: ``uvicorn --factory service.app:create_app``.
"""

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any

from fastapi import Depends, FastAPI
from fastapi.exceptions import RequestValidationError
from sqlalchemy.exc import SQLAlchemyError
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from service import logs, problems
from service.api import (
    approvals,
    audit,
    batches,
    checks,
    conversations,
    days,
    health,
    learning,
    pages,
    paper,
    people,
    plan_shelf,
    plans,
    policies,
    readings,
    records,
    reference,
    shelf,
    shelf_tables,
    sign_in,
    web,
    webhooks,
    withdrawals,
)
from service.api.respond import tagged
from service.bench import Bench, default_bench
from service.guard import Guard, request_id
from service.metrics import Metrics
from service.openapi import contract, text
from service.outbox.sender import Sender
from service.people.gate import gate
from service.pipeline import answer as pipeline_answer
from service.problems import FieldError, Problem
from service.services import Answer, note_disagreement, open_services
from service.settings import Settings, from_environment
from service.store.writer import StoreBusyError, StoreDownError

_PARTS = (
    plans, approvals, withdrawals, policies, audit, batches, days, checks, conversations, records, shelf_tables, shelf,
    plan_shelf, paper, people, sign_in, learning, readings, reference, health, pages, webhooks, web,
)  # fmt: skip


def create_app(
    settings: Settings | None = None, answer: Answer = pipeline_answer, bench: Bench | None = None
) -> FastAPI:
    """The ASGI application. ``settings`` come from the environment when not given; ``answer`` is the pipeline."""
    chosen = settings or from_environment()

    @asynccontextmanager
    async def lifespan(app: FastAPI) -> AsyncIterator[None]:
        logs.configure(chosen.log_level)
        desk = open_services(chosen, bench or default_bench(), answer)
        tasks: list[asyncio.Task[None]] = []
        try:
            if not desk.head_agrees:
                await note_disagreement(desk)
            app.state.services = desk
            tasks.append(asyncio.create_task(desk.policies.watch()))
            if chosen.webhook_sender:
                tasks.append(asyncio.create_task(Sender(desk.outbox, chosen).run()))
            logs.logger().info("ready", store=desk.engine.dialect.name, head_file=str(chosen.head_file))
            yield
        finally:
            for task in tasks:
                task.cancel()
            await asyncio.gather(*tasks, return_exceptions=True)
            desk.close()
            logs.logger().info("stopped")

    app = FastAPI(
        lifespan=lifespan,
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        redirect_slashes=False,
        dependencies=[Depends(gate)],
    )
    for router in (*(part.router for part in _PARTS), health.measures):
        app.include_router(router)
    app.openapi = lambda: contract(app)  # type: ignore[method-assign]
    app.add_route("/openapi.json", _contract_page, include_in_schema=False)
    app.add_exception_handler(Problem, _problem)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(RequestValidationError, _invalid)
    app.add_exception_handler(SQLAlchemyError, _no_store)
    app.add_exception_handler(StoreDownError, _no_store)
    app.add_exception_handler(StoreBusyError, _busy)
    app.state.metrics = Metrics()
    app.add_middleware(Guard, settings=chosen, metrics=app.state.metrics)
    return app


async def _contract_page(request: Request) -> Response:
    return tagged(text(request.app.openapi()).encode())


async def _problem(request: Request, error: Any) -> Response:
    return problems.response(error, request_id(request.scope))


async def _http(request: Request, error: Any) -> Response:
    """What the router itself refuses."""
    if error.status_code == 405:
        detail = f"{request.method} is not taken at this address."
        found = Problem("method-not-allowed", detail, headers={"Allow": _allowed(request, error.headers["Allow"])})
    elif error.status_code == 404:
        found = Problem("no-such-page", "There is nothing at this address.")
    else:
        raise error
    return problems.response(found, request_id(request.scope))


def _allowed(request: Request, first: str) -> str:
    """Every method of an address (RFC 9110, 15.5.6); the router names only those of the ``first`` route that fits."""
    path = getattr(request.scope.get("route"), "path", "")
    described = contract(request.app)["paths"].get(path, {})
    return ", ".join(sorted({*first.split(", "), *(method.upper() for method in described)}))


async def _invalid(request: Request, error: Any) -> Response:
    """Parameters of path or query that FastAPI could not read."""
    faults = tuple(
        FieldError("/" + "/".join(str(part) for part in fault["loc"]), fault["msg"][:1].lower() + fault["msg"][1:])
        for fault in error.errors()
    )
    return problems.response(
        Problem("invalid-request", "Parameters cannot be used.", faults), request_id(request.scope)
    )


async def _no_store(request: Request, error: Any) -> Response:
    logs.logger().error("database", error=type(error).__name__, request_id=request_id(request.scope))
    return problems.response(Problem("store-unavailable", "The database does not answer."), request_id(request.scope))


async def _busy(request: Request, error: Any) -> Response:  # noqa: ARG001 - the framework hands both over
    return problems.response(Problem("busy", "Too many requests are waiting to be stored."), request_id(request.scope))
