"""Errors of the transport as RFC 9457 problem documents. Every ``type`` is a page that explains it.

A request that can be read but not made is no error: it gets a reply with its outcome. A problem means that
there is no reply.
"""

from dataclasses import dataclass
from typing import Any

import orjson
from starlette.responses import Response

from service import (
    problem_kinds_days,
    problem_kinds_people,
    problem_kinds_policy,
    problem_kinds_records,
    problem_kinds_shelf,
    problem_kinds_sign_in,
)
from service.problem_kind import Kind

MEDIA_TYPE = "application/problem+json"

KINDS: dict[str, Kind] = {
    kind.slug: kind
    for kind in (
        Kind(
            "body-not-json",
            400,
            "The body is not JSON",
            "The body is missing or is not one complete JSON object in UTF-8.",
            'Send an object such as {"text": "250 mL of 0.1 M sodium chloride"}.',
        ),
        Kind(
            "no-such-page",
            404,
            "There is nothing at this address",
            "The path names no endpoint.",
            "GET / lists the endpoints.",
        ),
        Kind(
            "no-such-plan",
            404,
            "No plan has this id",
            "No stored reply has this id. Replies with an id that starts with draft- are not stored.",
            "Check the id: ten letters and digits, as given in the reply.",
        ),
        Kind(
            "no-such-conversation",
            404,
            "No conversation has this id",
            "No conversation was opened under this id here.",
            "POST /v1/conversations opens one.",
        ),
        Kind("no-such-rule", 404, "No rule has this id", "The rule list has no such id.", "GET /v1/rules lists them."),
        Kind(
            "no-such-substance",
            404,
            "No substance has this name",
            "The tables have no substance under this short name.",
            "GET /v1/substances?q=WORDS searches by name.",
        ),
        Kind(
            "no-such-source",
            404,
            "No source has this id",
            "The list of sources has no such id.",
            "Take the source_id of a citation.",
        ),
        Kind(
            "no-such-problem",
            404,
            "No problem has this name",
            "The problem list has no such entry.",
            "GET /problems lists them.",
        ),
        Kind(
            "method-not-allowed",
            405,
            "This address does not take this method",
            "The path exists, but not with this method.",
            "The Allow header lists the methods it takes.",
        ),
        Kind(
            "body-too-large",
            413,
            "The body is too large",
            "The body is longer than this service reads for one request.",
            "Send one request at a time.",
        ),
        Kind(
            "content-not-json",
            415,
            "The body must be sent as application/json",
            "The Content-Type header is missing or names another format.",
            "Send Content-Type: application/json.",
        ),
        Kind(
            "unknown-host",
            421,
            "This service does not answer to that host name",
            "The Host header names a host that this service was not set up for.",
            "Use the address that the service printed when it started, or set PREPWRIGHT_ALLOWED_HOSTS.",
        ),
        Kind(
            "invalid-request",
            422,
            "The request has fields that cannot be used",
            "The body is JSON, but some fields are missing, unknown or hold values that cannot be used.",
            "The list 'errors' names each field by its JSON pointer, what is wrong, and what is allowed.",
        ),
        Kind(
            "fault",
            500,
            "The service failed",
            "The program met a fault of its own. Nothing was stored.",
            "Try again; report the request id if it happens again.",
        ),
        Kind(
            "store-unavailable",
            503,
            "The database does not answer",
            "The reply could not be stored, so it was not given.",
            "Try again shortly.",
        ),
        Kind(
            "busy",
            503,
            "Too many requests are waiting",
            "The service takes on no more work until the waiting requests are stored.",
            "Try again shortly.",
        ),
        *problem_kinds_days.KINDS,
        *problem_kinds_people.KINDS,
        *problem_kinds_policy.KINDS,
        *problem_kinds_records.KINDS,
        *problem_kinds_shelf.KINDS,
        *problem_kinds_sign_in.KINDS,
    )
}


@dataclass(frozen=True, slots=True)
class FieldError:
    """One field that cannot be used: its JSON pointer, what is wrong, and what would be allowed."""

    pointer: str
    message: str
    allowed: tuple[str, ...] = ()

    def document(self) -> dict[str, Any]:
        """As it stands in a problem's ``errors``."""
        found: dict[str, Any] = {"pointer": self.pointer, "message": self.message}
        if self.allowed:
            found["allowed"] = list(self.allowed)
        return found


class Problem(Exception):  # noqa: N818 - it is named as the standard names it
    """Raised anywhere below an endpoint; becomes the problem document of that kind."""

    def __init__(
        self, slug: str, detail: str, errors: tuple[FieldError, ...] = (), headers: dict[str, str] | None = None
    ) -> None:
        super().__init__(detail)
        self.kind = KINDS[slug]
        self.detail = detail
        self.errors = errors
        self.headers = headers or {}


def document(problem: Problem, request_id: str) -> dict[str, Any]:
    """The problem as RFC 9457 members plus ``errors`` and ``request_id``."""
    found: dict[str, Any] = {
        "type": f"/problems/{problem.kind.slug}",
        "title": problem.kind.title,
        "status": problem.kind.status,
        "detail": problem.detail,
        "request_id": request_id,
    }
    if problem.errors:
        found["errors"] = [e.document() for e in problem.errors]
    return found


def response(problem: Problem, request_id: str) -> Response:
    """The problem as an HTTP response."""
    headers = dict(problem.headers)
    if problem.kind.status == 503:
        headers.setdefault("Retry-After", "2")
    return Response(orjson.dumps(document(problem, request_id)), problem.kind.status, headers, MEDIA_TYPE)


def page(kind: Kind) -> dict[str, Any]:
    """The page behind a problem's ``type``."""
    return {
        "type": f"/problems/{kind.slug}",
        "title": kind.title,
        "status": kind.status,
        "meaning": kind.meaning,
        "remedy": kind.remedy,
    }
