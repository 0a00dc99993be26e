"""The shelf as tables: POST /v1/shelf/import, GET /v1/shelf/export, and what must be used soon, GET /v1/shelf/expiring."""

from collections.abc import Iterator
from typing import Annotated

import orjson
from fastapi import APIRouter, Depends, Query
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response, StreamingResponse

from service.api import contract_shelf as contract
from service.api.contract import IDEMPOTENCY_KEY, problems
from service.api.respond import from_document
from service.people.clock import now
from service.people.gate import caller
from service.problems import FieldError, Problem
from service.repeats import Answer, Finish
from service.schemas.shelf import State
from service.services import Services, services
from service.shelf import expiring, imports, listing, rows
from service.spreadsheet import UnreadableTableError, csv_text, read_table, utf8
from service.store.writer import StoreBusyError, StoreDownError

router = APIRouter(prefix="/v1/shelf", tags=["shelf"])
MOST_ROWS = 500
_AT_ONCE = 100


def looked_for(
    substance: Annotated[str | None, Query(max_length=200, description="Only this substance, any form.")] = None,
    place: Annotated[str | None, Query(max_length=200, description="Only this place, as it was written.")] = None,
    expiring_within_days: Annotated[int | None, Query(ge=0, le=3650, description="Its last day is by then.")] = None,
    state: Annotated[State | None, Query(description="Only bottles in this state.")] = None,
    low_pct: Annotated[
        int | None, Query(ge=0, le=100, description="At most this share of what it held is left, in %.")
    ] = None,
) -> listing.Wanted:
    """The filters of the shelf, from the query."""
    return listing.Wanted(substance, place, expiring_within_days, state, low_pct)


Wanted = Annotated[listing.Wanted, Depends(looked_for)]


@router.post(
    "/import",
    summary="Bottles from a CSV table: a dry run, or put on the shelf with confirm=true",
    responses={
        200: contract.IMPORTED,
        **problems(
            "table-unreadable", "content-not-csv", "rows-not-usable", "body-too-large", "invalid-request", "in-flight",
            "key-reused", "busy", "store-unavailable",
        ),
    },
    openapi_extra={"requestBody": contract.TABLE_BODY, "parameters": [IDEMPOTENCY_KEY]},
)  # fmt: skip
async def import_table(
    request: Request,
    confirm: Annotated[bool, Query(description="Put them on the shelf: all rows in one transaction, or none.")] = False,
    by: Annotated[
        str | None,
        Query(min_length=1, max_length=60, description="Who puts up the bottles whose row has nothing in 'by'."),
    ] = None,
) -> Response:
    """The columns are those of GET /v1/shelf/export; substance, amount, unit and place are needed.

    A row with an id that is on the shelf is compared and not put up again; one with an id that is not keeps it, and
    one without gets a new one. What a row says of left, reserved and state becomes events of the new bottle.
    """
    media_type = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if media_type != "text/csv":
        raise Problem("content-not-csv", f"The Content-Type is {media_type[:80]!r}.")
    lines = _lines(await request.body())
    desk, who = services(request), caller(request).id

    async def answer(finish: Finish | None) -> Answer:
        async with desk.shelf.records.lock:
            judged = await run_in_threadpool(imports.judge, desk.shelf, lines, by, who)
            if judged.errors:
                raise _refused(judged)
            document = _document(judged, True)
            if judged.writes:
                if finish is not None:
                    judged.writes[0] = judged.writes[0].followed_by(lambda _entry: finish(document))
                await _store(desk, judged)
        return document

    if confirm:
        return await desk.repeats.once(request, who, answer)
    return _document(await run_in_threadpool(imports.judge, desk.shelf, lines, by, who), False).response()


@router.get(
    "/export",
    summary="The shelf, or what is looked for, as a CSV table, oldest first",
    response_class=Response,
    responses={200: contract.TABLE, **problems("invalid-request", "store-unavailable")},
)
async def export_table(request: Request, wanted: Wanted) -> Response:
    """Imported into an empty shelf, it gives bottles with the same ids that stand the same, and the same table again.

    The single takes and reservations are added up; preparations are not carried over.
    """
    desk = services(request)
    if wanted.substance is not None:
        await run_in_threadpool(
            listing.page, desk.engine, wanted, None, 1
        )  # a name that is none is said before the table begins
    headers = {"Content-Disposition": 'attachment; filename="shelf.csv"'}
    return StreamingResponse(_table(desk, wanted), media_type="text/csv; charset=utf-8", headers=headers)


@router.get(
    "/expiring",
    summary="Bottles and preparations by their last day, the earliest first",
    responses={200: contract.EXPIRING, **problems("invalid-request", "store-unavailable")},
)
async def list_expiring(
    request: Request,
    within_days: Annotated[int, Query(ge=0, le=3650, description="How far ahead, from today.")] = 30,
    limit: Annotated[int, Query(ge=1, le=200, description="Lines on a page.")] = 50,
    after: Annotated[
        str | None,
        Query(pattern=r"^\d{4}-\d{2}-\d{2}:\d{1,18}$", description="The 'next' of the page before."),
    ] = None,
) -> Response:
    """What is past its day is listed until it is withdrawn or used up. A preparation in a bottle is listed as the bottle."""
    who = caller(request)
    place = None
    if after is not None:
        day, _, seq = after.partition(":")
        place = (day, int(seq))
    only = None if who.sees_all else who.id
    return from_document(
        await run_in_threadpool(expiring.page, services(request).engine, within_days, place, limit, only)
    )


def _lines(content: bytes) -> list[tuple[int, dict[str, str]]]:
    try:
        lines = read_table(utf8(content, "table"), rows.MUST, rows.COLUMNS)
    except UnreadableTableError as fault:
        raise Problem("table-unreadable", str(fault)) from None
    if not 0 < len(lines) <= MOST_ROWS:
        raise Problem("table-unreadable", f"The table has {len(lines)} rows; it must have 1 to {MOST_ROWS}.")
    return lines


def _refused(judged: imports.Judged) -> Problem:
    faults = tuple(FieldError(f"/rows/{e['row']}/{e['column']}", e["message"]) for e in judged.errors)
    count = len({e["row"] for e in judged.errors})
    return Problem("rows-not-usable", f"{count} row{'s' if count > 1 else ''} cannot be used; nothing was put on the shelf.",
                   faults)  # fmt: skip


def _document(judged: imports.Judged, confirmed: bool) -> Answer:
    saved = judged.new if confirmed else 0
    found = [
        {key: value for key, value in row.items() if confirmed or key != "bottle" or row["row"] not in judged.fresh}
        for row in judged.found
    ]
    body = {"confirmed": confirmed, "saved": saved, "rows": found, "errors": judged.errors}
    return Answer(200, {}, orjson.dumps(body))


async def _store(desk: Services, judged: imports.Judged) -> None:
    try:
        await desk.writer.write(*judged.writes)
    except StoreBusyError:
        raise Problem("busy", "Too many requests are waiting to be stored.") from None
    except StoreDownError:
        raise Problem("store-unavailable", "The bottles could not be stored; none of them was.") from None


def _table(desk: Services, wanted: listing.Wanted) -> Iterator[str]:
    yield csv_text([rows.COLUMNS])
    today = now().date()
    with desk.engine.connect() as connection:
        waiting: list[list[str]] = []
        for bottle in listing.oldest_first(connection, wanted):
            waiting.append(list(rows.filled(bottle, today).values()))
            if len(waiting) == _AT_ONCE:
                yield csv_text(waiting)
                waiting = []
        yield csv_text(waiting)
