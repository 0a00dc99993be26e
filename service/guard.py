"""The outermost layer, plain ASGI: request ids, host check, body limit, security headers, and the last catch.

Whatever fails below, the client gets a problem document and never a trace.
"""

import re
import secrets
import time
from collections.abc import Iterable
from typing import Any

from starlette.requests import ClientDisconnect
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.logs import logger
from service.problems import Problem, response
from service.settings import Settings

_TOKEN = re.compile(rb"[A-Za-z0-9_.-]{1,64}\Z")
_SECURITY = [
    (b"x-content-type-options", b"nosniff"),
    (b"x-frame-options", b"DENY"),
    (b"referrer-policy", b"no-referrer"),
    (b"content-security-policy", b"default-src 'none'; frame-ancestors 'none'"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cache-control", b"no-store"),
]


def request_id(scope: Scope) -> str:
    """The id of the request in hand, as given to the client in ``X-Request-Id``."""
    found: str = scope.get("prepwright.request_id", "")
    return found


class Guard:
    """Wraps the application; holds no state of a request beyond the call."""

    def __init__(self, app: ASGIApp, settings: Settings) -> None:
        self._app = app
        self._limit = settings.body_limit
        self._hosts = frozenset(name.lower() for name in settings.allowed_hosts)
        self._log_requests = settings.log_requests

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        names = _first(scope["headers"], (b"x-request-id", b"host", b"content-length"))
        sent_id = names.get(b"x-request-id", b"")
        scope["prepwright.request_id"] = sent_id.decode() if _TOKEN.match(sent_id) else secrets.token_hex(8)
        outgoing = _Outgoing(send, scope["prepwright.request_id"])
        began = time.perf_counter()
        try:
            self._check(names)
            await self._app(scope, _limited(receive, self._limit), outgoing)
        except ClientDisconnect:
            return
        except Problem as problem:
            await self._fail(problem, scope, receive, outgoing)
        except Exception as fault:
            logger().error("fault", request_id=request_id(scope), path=scope["path"], exc_info=fault)
            await self._fail(Problem("fault", "The program met a fault of its own."), scope, receive, outgoing)
        if self._log_requests:
            logger().info(
                "request",
                request_id=request_id(scope),
                method=scope["method"],
                path=scope["path"],
                status=outgoing.status,
                ms=round((time.perf_counter() - began) * 1000, 2),
            )

    def _check(self, names: dict[bytes, bytes]) -> None:
        if self._hosts:
            host = names.get(b"host", b"").decode("latin-1").lower()
            name = host[1:].partition("]")[0] if host.startswith("[") else host.partition(":")[0]
            if name not in self._hosts:
                raise Problem("unknown-host", "The Host header names a host that this service does not answer to.")
        length = names.get(b"content-length", b"0")
        if length.isdigit() and int(length[:20]) > self._limit:
            raise _too_large(self._limit)

    async def _fail(self, problem: Problem, scope: Scope, receive: Receive, outgoing: "_Outgoing") -> None:
        if not outgoing.status:
            await response(problem, request_id(scope))(scope, receive, outgoing)


class _Outgoing:
    """Adds the request id and the security headers to the response that passes through."""

    __slots__ = ("_id", "_send", "status")

    def __init__(self, send: Send, own_id: str) -> None:
        self._send = send
        self._id = own_id.encode()
        self.status = 0

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self.status = message["status"]
            given = message.get("headers", ())
            held = {name for name, _ in given}
            added = (header for header in _SECURITY if header[0] not in held)  # a page of the web client has its own
            message["headers"] = [*given, (b"x-request-id", self._id), *added]
        await self._send(message)


def _limited(receive: Receive, limit: int) -> Receive:
    """``receive`` that counts: a body without a length, or with a false one, is stopped where it gets too long."""
    seen = 0

    async def counted() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        if seen > limit:
            raise _too_large(limit)
        return message

    return counted


def _too_large(limit: int) -> Problem:
    return Problem("body-too-large", f"A body may hold {limit} bytes.")


def _first(headers: Iterable[Any], wanted: tuple[bytes, ...]) -> dict[bytes, bytes]:
    found: dict[bytes, bytes] = {}
    for name, value in headers:
        if name in wanted and name not in found:
            found[name] = value
    return found
