"""The application with two more endpoints, for ``tests.bench.served``: a bare no-op, and a plan that is not stored."""

import sys
from pathlib import Path
from typing import Any

import orjson
import uvicorn
from fastapi import APIRouter, FastAPI
from starlette.requests import Request
from starlette.responses import Response
from starlette.types import Receive, Scope, Send

from service.api.bodies import asked, json_object
from service.api.respond import Json
from service.app import create_app
from service.services import services
from service.settings import Settings

NOTHING, UNSTORED, STORED = "/nothing", "/v1/unstored", "/v1/plans"

_router = APIRouter()


@_router.post(UNSTORED)
async def unstored(request: Request) -> Response:
    """The way of POST /v1/plans through guard, gate and pipeline, without the store."""
    desk = services(request)
    reply = desk.answer(asked(await json_object(request)), desk.bench)
    return Json(orjson.dumps(reply.document))


def application(folder: Path) -> Any:
    """A bare FastAPI no-op beside the whole application, in one server."""
    settings = Settings(f"sqlite:///{folder / 'bench.sqlite3'}", folder / "bench.head", calls_a_minute=10**9)
    app, bare = create_app(settings), FastAPI()
    app.include_router(_router)

    @bare.get(NOTHING)
    async def nothing() -> dict[str, bool]:
        return {"ok": True}

    async def either(scope: Scope, receive: Receive, send: Send) -> None:
        chosen = bare if scope["type"] == "http" and scope["path"] == NOTHING else app
        await chosen(scope, receive, send)

    return either


if __name__ == "__main__":
    uvicorn.run(application(Path(sys.argv[1])), port=int(sys.argv[2]), log_level="warning", access_log=False)
