"""POST /v1/batches: many requests at once; tried first, saved when confirmed, and sent back again without change."""

import asyncio
from dataclasses import dataclass
from typing import Annotated, Any, Literal

import orjson
from fastapi import APIRouter, Query
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from service import requests
from service.api import examples_batch as examples
from service.api.batch_rows import COLUMNS, TOLD, Row, read_rows
from service.api.contract import IDEMPOTENCY_KEY, problems
from service.api.described import described
from service.api.respond import Json
from service.approvals.settle import Settled, queue_write, settle
from service.people.gate import caller
from service.people.rights import Caller
from service.plans.archive import Draft, storable
from service.problems import Problem
from service.repeats import Answer, Finish, key_of
from service.schemas.batch import Batch
from service.services import Services, services
from service.spreadsheet import csv_text
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
_ANSWER = described(Batch, "What each row gives.", {"tried": examples.TRIED, "saved": examples.SAVED})
_ANSWER["content"]["text/csv"] = {
    "schema": {"type": "string"},
    "examples": {"saved": {"summary": "the rows with what each gave, to be sent back", "value": examples.EXPORT}},
}


@dataclass(frozen=True, slots=True)
class Tried:
    """A row with what it gives: a new reply, or the one it was saved as before; or what is wrong with it."""

    row: Row
    settled: Settled | None = None
    before: dict[str, str] | None = None
    errors: tuple[tuple[str, str], ...] = ()


@router.post(
    "",
    response_class=Json,
    summary="Many requests at once: a dry run, or saved with confirm=true",
    responses={
        200: _ANSWER,
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
    form: Annotated[
        Literal["json", "csv"],
        Query(alias="format", description="csv gives the rows back with plan, outcome, read_as and error added."),
    ] = "json",
) -> Response:
    """A text without a safe reading is an error of its row; the others are saved all the same.

    A row with the plan it was saved as is not saved again unless it asks for something else.
    """
    media_type = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if media_type not in _TYPES:
        raise Problem("content-not-batch", f"The Content-Type is {media_type[:80]!r}.")
    desk, who = services(request), caller(request)
    key_of(request)  # a dry run keeps nothing under it, and refuses the same ones
    rows = read_rows(await request.body(), media_type)

    async def answer(finish: Finish | None) -> Answer:
        tried = [await _tried(desk, row, who) for row in rows]
        if not confirm:
            return _answer(tried, {}, confirm, form)
        return await _saved(desk, tried, who.id, finish, form)

    return await desk.repeats.once(request, who.id, answer) if confirm else (await answer(None)).response()


async def _tried(desk: Services, row: Row, who: Caller) -> Tried:
    """What a row gives. Others get their turn in between."""
    await asyncio.sleep(0)
    if row.asked is None:
        return Tried(row, errors=row.errors)
    if row.plan is not None:
        before = await run_in_threadpool(_before, desk, row, row.plan, None if who.sees_all else who.id)
        if before is not None:
            return before
    settled = await settle(desk.holds, desk.answer(row.asked, desk.bench).document, who.id, row.wish)
    document = settled.document
    if document["outcome"] == "not_understood":
        column = "text" if isinstance(row.asked, str) else "request"
        return Tried(row, errors=((column, str(document["problem"]["message"])),))
    return Tried(row, settled)


def _before(desk: Services, row: Row, plan: str, only: str | None) -> Tried | None:
    """The reply the row was saved as before; None where the row now asks for something else."""
    saved = desk.archive.saved(plan, only)
    if saved is None:
        return Tried(row, errors=(("plan", "no stored plan has this id"),))
    if isinstance(row.asked, str):
        same = saved.text == storable(row.asked)
    else:
        same = saved.text is None and saved.request is not None
        same = same and requests.read(orjson.loads(saved.request)) == row.asked
    if not same:
        return None
    wished = desk.holds.wished(plan)
    if wished is not None:
        other = [
            (column, f"is not {held or 'empty'}, as the plan that waits has it: withdraw that, or take out its id")
            for column, held, sent in zip(
                ("needed_by", "room"), wished, (row.wish.needed_by, row.wish.room), strict=True
            )
            if held != sent
        ]
        if other:
            return Tried(row, errors=tuple(other))
    found = {"outcome": saved.outcome, "read_as": saved.read_as, "plan": saved.id}
    return Tried(row, before={key: value for key, value in found.items() if value is not None})


async def _saved(desk: Services, tried: list[Tried], who: str, finish: Finish | None, form: str) -> Answer:
    drafts: dict[int, Draft] = {}
    writes: list[Write] = []
    for one in tried:
        if one.settled is not None:
            text = one.row.asked if isinstance(one.row.asked, str) else None
            draft = desk.archive.draft(text, one.settled.document, who)
            drafts[one.row.number] = draft
            held = queue_write(desk.holds, one.settled, draft.id, who, one.row.wish)
            writes += [draft.write] if held is None else [draft.write, held]
    answer = _answer(tried, {number: draft.id for number, draft in drafts.items()}, True, form)
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


def _answer(tried: list[Tried], saved: dict[int, str], confirmed: bool, form: str) -> Answer:
    if form == "csv":
        lines = csv_text([(*COLUMNS, *TOLD), *(_cells(one, saved.get(one.row.number)) for one in tried)])
        return Answer(200, {"Content-Type": "text/csv; charset=utf-8"}, lines.encode())
    rows: list[dict[str, Any]] = []
    errors: list[dict[str, Any]] = []
    for one in tried:
        head = {"row": one.row.number, **({} if one.row.ref is None else {"ref": one.row.ref})}
        errors += [{**head, "column": column, "message": message} for column, message in one.errors]
        if one.before is not None:
            rows.append({**head, **one.before, "unchanged": True})
        elif one.settled is not None:
            rows.append({**head, **_told(one.settled, saved.get(one.row.number))})
    body = {"confirmed": confirmed, "saved": len(saved), "rows": rows, "errors": errors}
    return Answer(200, {}, orjson.dumps(body))


def _told(settled: Settled, plan: str | None) -> dict[str, Any]:
    found = {"outcome": settled.document["outcome"], "read_as": settled.document.get("read_as"), "plan": plan}
    return {key: value for key, value in found.items() if value is not None}


def _cells(one: Tried, plan: str | None) -> list[str]:
    """A row as it is given back: what was sent, word for word, with what it gave."""
    sent = {
        key: value if isinstance(value, str) else orjson.dumps(value).decode() for key, value in one.row.cells.items()
    }
    told = one.before or ({} if one.settled is None else _told(one.settled, plan))
    error = "; ".join(f"{column}: {message}" if column else message for column, message in one.errors)
    full = {**sent, **told, "error": error}
    return [full.get(column, "") for column in (*COLUMNS, *TOLD)]
