"""Responses made of ready bytes: the hot path builds its JSON once and nothing walks it again."""

from typing import Any

import orjson
from starlette.responses import Response

from service.audit.chain import Entry


class Json(Response):
    """JSON bytes as they are."""

    media_type = "application/json"


def from_document(document: Any) -> Json:
    """A plain document as JSON."""
    return Json(orjson.dumps(document))


def reply_headers(plan_id: str, plan_hash: str, entry: Entry | None = None) -> dict[str, str]:
    """Headers of a stored reply: where it is kept, its hash, and its own audit entry as a receipt."""
    headers = {"Content-Location": f"/v1/plans/{plan_id}", "ETag": f'"{plan_hash}"'}
    if entry is not None:
        headers["Prepwright-Audit-Head"] = f"{entry.seq}:{entry.hash}"
    return headers
