"""Responses made of ready bytes: the hot path builds its JSON once and nothing walks it again."""

import hashlib
from collections.abc import Callable
from typing import Any

import orjson
from sqlalchemy import Executable
from starlette.responses import JSONResponse

from service.audit.chain import Entry
from service.plans.archive import Stored
from service.plans.document import with_id
from service.repeats import Answer, Finish


class Json(JSONResponse):
    """JSON that is already bytes or text."""

    def render(self, content: bytes | str) -> bytes:
        """The content as it is."""
        return content if isinstance(content, bytes) else content.encode()


def from_document(document: Any) -> Json:
    """A plain document as JSON with its entity tag."""
    return tagged(orjson.dumps(document))


def tagged(body: bytes) -> Json:
    """JSON with an entity tag, by which it may be asked for again only if it has changed."""
    return Json(body, headers={"ETag": f'"{hashlib.sha256(body).hexdigest()[:32]}"'})


def later_mark(added: bytes) -> str:
    """A short hash of what came to a reply later: part of its entity tag, which changes with every decision."""
    return hashlib.sha256(added).hexdigest()[:16]


def answer_of(stored: Stored) -> Answer:
    """A stored reply as the answer to the request that made it."""
    headers = reply_headers(stored.id, stored.plan_hash, stored.entry)
    return Answer(200, headers, with_id(stored.id, stored.document))


def kept_by(finish: Finish | None) -> Callable[[Stored], Executable] | None:
    """The statement that keeps a stored reply under its Idempotency-Key."""
    return None if finish is None else lambda stored: finish(answer_of(stored))


def reply_headers(plan_id: str, plan_hash: str, entry: Entry | None = None) -> dict[str, str]:
    """Headers of a stored reply: where it is kept, its hash, and its own audit entry as a receipt."""
    headers = {"Content-Location": f"/v1/plans/{plan_id}", "ETag": f'"{plan_hash}"'}
    if entry is not None:
        headers["Prepwright-Audit-Head"] = f"{entry.seq}:{entry.hash}"
    return headers
