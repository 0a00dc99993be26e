"""POST /v1/batches: many requests at once; tried first, saved when confirmed."""

import asyncio
from typing import Annotated, Any

import orjson
from fastapi import APIRouter, Query
from starlette.requests import Request
from starlette.responses import Response

from service.api import examples_batch as examples
from service.api.batch_rows import Row, read_rows
from service.api.contract import IDEMPOTENCY_KEY, problems
from service.api.described import described
from service.api.respond import Json
from service.approvals.settle import Settled, queue_write, settle
from service.people.gate import caller
from service.plans.archive import Draft
from service.problems import Problem
from service.repeats import Answer, Finish
from service.schemas.batch import Batch
from service.services import Services, services
from service.store.writer import StoreBusyError, StoreDownError, Write

router = APIRouter(prefix="/v1/batches", tags=["plans"])
_TYPES = ("text/csv", "application/jsonl", "application/x-ndjson")
_BODY = {
    "required": True,
    "content": {
        "text/csv": {
            "schema": {"type": "string"},
            "examples": {"week": {"summary": "CSV with a header: id, text, needed_by, room", "value": examples.CSV}},
        },
        "application/jsonl": {
            "schema": {"type": "string"},
            "examples": {"week": {"summary": "one request a line", "value": examples.JSON_LINES}},
        },
    },
}


@router.post(
    "",
    response_class=Json,
    summary="Many requests at once: a dry run, or saved with confirm=true",
    responses={
        200: described(Batch, "What each row gives.", {"tried": examples.TRIED, "saved": examples.SAVED}),
        **problems(
            "batch-unreadable", "content-not-batch", "body-too-large", "invalid-request", "in-flight", "key-reused",
            "busy", "store-unavailable",
        ),
    },
    openapi_extra={"requestBody": _BODY, "parameters": [IDEMPOTENCY_KEY]},
)  # fmt: skip
async def run_batch(
    request: Request,
    confirm: Annotated[bool, Query(description="Save the rows without an error, all in one transaction.")] = False,
) -> Response:
    """A text without a safe reading is an error of its row; the other rows are saved all the same."""
    media_type = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if media_type not in _TYPES:
        raise Problem("content-not-batch", f"The Content-Type is {media_type[:80]!r}.")
    desk, who = services(request), caller(request).id
    rows = read_rows(await request.body(), media_type)

    async def answer(finish: Finish | None) -> Answer:
        tried = [(row, await _tried(desk, row, who)) for row in rows]
        if not confirm:
            return _answer(tried, {}, confirm)
        return await _saved(desk, tried, who, finish)

    return await desk.repeats.once(request, who, answer) if confirm else (await answer(None)).response()


Tried = list[tuple[Row, Settled | None]]


async def _tried(desk: Services, row: Row, who: str) -> Settled | None:
    """The reply to a row; None for a row that cannot be read. Others get their turn in between."""
    await asyncio.sleep(0)
    if row.asked is None:
        return None
    return await settle(desk.holds, desk.answer(row.asked, desk.bench).document, who, row.wish)


async def _saved(desk: Services, tried: Tried, who: str, finish: Finish | None) -> Answer:
    drafts: dict[int, Draft] = {}
    writes: list[Write] = []
    for row, settled in tried:
        if settled is not None and _fault(settled) is None:
            text = row.asked if isinstance(row.asked, str) else None
            draft = desk.archive.draft(text, settled.document, who)
            drafts[row.number] = draft
            held = queue_write(desk.holds, settled, draft.id, who, row.wish)
            writes += [draft.write] if held is None else [draft.write, held]
    answer = _answer(tried, {number: draft.id for number, draft in drafts.items()}, True)
    if not writes:
        return answer
    if finish is not None:
        writes[0] = writes[0].followed_by(lambda _entry: finish(answer))
    try:
        await desk.writer.write(*writes)
    except StoreBusyError:
        raise Problem("busy", "Too many requests are waiting to be stored.") from None
    except StoreDownError:
        raise Problem("store-unavailable", "The batch could not be stored; nothing of it was.") from None
    return answer


def _answer(tried: Tried, saved: dict[int, str], confirmed: bool) -> Answer:
    rows: list[dict[str, Any]] = []
    errors: list[dict[str, Any]] = []
    for row, settled in tried:
        head = {"row": row.number, **({} if row.ref is None else {"ref": row.ref})}
        errors += [{**head, "column": column, "message": message} for column, message in row.errors]
        if settled is None:
            continue
        fault = _fault(settled)
        if fault is not None:
            column = "text" if isinstance(row.asked, str) else "request"
            errors.append({**head, "column": column, "message": fault})
            continue
        read_as = settled.document.get("read_as")
        line = {**head, "outcome": settled.document["outcome"], "read_as": read_as, "plan": saved.get(row.number)}
        rows.append({key: value for key, value in line.items() if value is not None})
    body = {"confirmed": confirmed, "saved": len(saved), "rows": rows, "errors": errors}
    return Answer(200, {}, orjson.dumps(body))


def _fault(settled: Settled) -> str | None:
    """Why the text of a row has no safe reading, or None."""
    document = settled.document
    return str(document["problem"]["message"]) if document["outcome"] == "not_understood" else None
