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
from service.metrics import Metrics
from service.problems import Problem, response
from service.settings import Settings

_TOKEN = re.compile(rb"[A-Za-z0-9_.-]{1,64}\Z")
_SECURITY = [
    (b"x-content-type-options", b"nosniff"),
    (b"x-frame-options", b"DENY"),
    (b"referrer-policy", b"no-referrer"),
    (b"content-security-policy", b"default-src 'none'; frame-ancestors 'none'"),
    (b"cross-origin-resource-policy", b"same-origin"),
]
_ASK_AGAIN = b"private, no-cache"  # may be kept by the one who asked, who asks each time whether it has changed


def request_id(scope: Scope) -> str:
    """The id of the request in hand, as given to the client in ``X-Request-Id``."""
    found: str = scope.get("prepwright.request_id", "")
    return found


class Guard:
    """Wraps the application; holds no state of a request beyond the call."""

    def __init__(self, app: ASGIApp, settings: Settings, metrics: Metrics) -> None:
        self._app = app
        self._metrics = metrics
        self._limit = settings.body_limit
        self._hosts = frozenset(name.lower() for name in settings.allowed_hosts)
        self._log_requests = settings.log_requests

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        names = _first(scope["headers"], (b"x-request-id", b"host", b"content-length", b"if-none-match"))
        sent_id = names.get(b"x-request-id", b"")
        scope["prepwright.request_id"] = sent_id.decode() if _TOKEN.match(sent_id) else secrets.token_hex(8)
        reading = scope["method"] in ("GET", "HEAD")
        known = names.get(b"if-none-match", b"") if reading else b""
        outgoing = _Outgoing(send, scope["prepwright.request_id"], known, reading)
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
        took = time.perf_counter() - began
        route = getattr(scope.get("route"), "path", "unknown")
        self._metrics.answered(scope["method"], route, outgoing.status, took)
        if self._log_requests:
            logger().info(
                "request",
                request_id=request_id(scope),
                method=scope["method"],
                path=scope["path"],
                status=outgoing.status,
                ms=round(took * 1000, 2),
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
    """Adds the request id and the security headers to the response that passes through.

    ``known``: the entity tags that the client has; where the answer is one of them it is 304 without a body (RFC 9110, 13.1.2).
    """

    __slots__ = ("_id", "_known", "_reading", "_send", "status")

    def __init__(self, send: Send, own_id: str, known: bytes, reading: bool) -> None:
        self._send = send
        self._id = own_id.encode()
        self._known = known
        self._reading = reading
        self.status = 0

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.body" and self.status == 304:
            message = {"type": "http.response.body", "body": b"", "more_body": message.get("more_body", False)}
        if message["type"] == "http.response.start":
            self.status = message["status"]
            given = message.get("headers", ())
            held = {name for name, _ in given}
            if self._known and self.status == 200 and b"etag" in held and _matches(self._known, dict(given)[b"etag"]):
                self.status = message["status"] = 304
                given = [(name, value) for name, value in given if name not in (b"content-length", b"content-type")]
            added = [header for header in _SECURITY if header[0] not in held]  # a page of the web client has its own
            if b"cache-control" not in held:
                added.append((b"cache-control", _ASK_AGAIN if self._reading and b"etag" in held else b"no-store"))
            message["headers"] = [*given, (b"x-request-id", self._id), *added]
        await self._send(message)


def _matches(known: bytes, tag: bytes) -> bool:
    """Whether one of the tags sent is the one of the answer, by weak comparison."""
    sent = {part.strip().removeprefix(b"W/") for part in known.split(b",")}
    return b"*" in sent or tag.removeprefix(b"W/") in sent


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
