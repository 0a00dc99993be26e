"""GET /v1/audit: who asked for what, when; the log itself to take away; and whether it is whole."""

from collections.abc import Iterator
from dataclasses import asdict
from datetime import date
from typing import Annotated, Any, Literal

import orjson
from fastapi import APIRouter, Depends, Query
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response, StreamingResponse

from rules.tables.groups import group_names, members
from service.api import examples_audit as examples
from service.api.contract import problems
from service.api.described import described
from service.api.respond import from_document
from service.audit import lines, search
from service.audit.search import Filters
from service.audit.terms import slugs
from service.audit.verifying import verify_in_parts
from service.problems import FieldError, Problem
from service.schemas.audit import AuditPage, AuditVerification
from service.schemas.common import Outcome
from service.services import Services, services
from service.spreadsheet import csv_text

router = APIRouter(prefix="/v1/audit", tags=["audit"])
# A hazard class without its category means every category of it.
_CATEGORIES = ("", " 1", " 1a", " 1b", " 1c", " 2", " 2a", " 2b", " 3", " 4")


async def filters(
    request: Request,
    substance: Annotated[str | None, Query(max_length=200, description="A name, formula or short name.")] = None,
    class_: Annotated[
        str | None,
        Query(
            alias="class", max_length=40, description="A group such as chromate-vi, or a hazard class such as Carc. 1B."
        ),
    ] = None,
    over: Annotated[float | None, Query(ge=0, le=100, description="Stronger than this, mol/L.")] = None,
    person: Annotated[str | None, Query(max_length=64, description="The name or id of an account.")] = None,
    lot: Annotated[str | None, Query(max_length=200, description="A lot that something was made from.")] = None,
    outcome: Annotated[Outcome | None, Query(description="Replies with this outcome only.")] = None,
    event: Annotated[str | None, Query(max_length=40, description="One kind of event, such as plan.approved.")] = None,
    since: Annotated[date | None, Query(description="From this day on (UTC).")] = None,
    until: Annotated[date | None, Query(description="Up to and including this day (UTC).")] = None,
) -> Filters:
    """What is looked for. Raises Problem for a name that nothing has."""
    substances = _substances(substance)
    classes: tuple[str, ...] = ()
    if class_ is not None:
        grouped = members(class_.strip().lower())
        if grouped:
            substances = tuple(sorted(set(substances) & set(grouped))) if substances else grouped
            if not substances:
                raise _wrong("class", f"{substance} is not in the group {class_}")
        else:
            classes = _classes(class_)
    if over is not None and not substances:
        raise _wrong("over", "needs a substance or a group")
    who = None if person is None else await run_in_threadpool(_person, services(request), person)
    days = (d for d in (since, until) if d is not None)
    if not all(1970 < d.year < 9999 for d in days):
        raise _wrong("since", "must be a day of this age")
    return Filters(substances, classes, over, who, lot, outcome, event, since, until)


Wanted = Annotated[Filters, Depends(filters)]


@router.get(
    "",
    summary="Entries of the log, newest first, with totals for a substance or a group",
    responses={
        200: described(AuditPage, "One page.", {"page": examples.PAGE}),
        **problems("invalid-request", "store-unavailable"),
    },
)
async def search_log(
    request: Request,
    wanted: Wanted,
    limit: Annotated[int, Query(ge=1, le=200, description="Entries on a page.")] = 50,
    after: Annotated[int | None, Query(ge=1, le=2**62, description="The 'next' of the page before.")] = None,
) -> Response:
    """Filters are joined by 'and'. Totals come with the first page."""
    return from_document(await run_in_threadpool(_page, services(request), wanted, after, limit))


@router.get(
    "/export",
    summary="The log, or what is looked for, oldest first: JSON lines or CSV",
    response_class=Response,
    responses={
        200: {
            "description": "JSON lines hold all that the hashes cover: without filters 'prepwright verify --export' checks them.",
            "content": {
                "application/jsonl": {
                    "schema": {"type": "string"},
                    "examples": {"entry": {"summary": "one entry", "value": examples.EXPORT_LINE}},
                },
                "text/csv": {
                    "schema": {"type": "string"},
                    "examples": {"header": {"summary": "the header", "value": ",".join(lines.COLUMNS) + "\r\n"}},
                },
            },
        },
        **problems("invalid-request", "store-unavailable"),
    },
)
async def export_log(
    request: Request,
    wanted: Wanted,
    format: Annotated[Literal["jsonl", "csv"], Query(description="jsonl or csv")] = "jsonl",
) -> Response:
    """In CSV a cell that a spreadsheet would run as a formula starts with an apostrophe."""
    desk = services(request)
    made = _csv(desk, wanted) if format == "csv" else _jsonl(desk, wanted)
    kind = "text/csv; charset=utf-8" if format == "csv" else "application/jsonl"
    return StreamingResponse(
        made, media_type=kind, headers={"Content-Disposition": f'attachment; filename="audit.{format}"'}
    )


@router.get(
    "/verification",
    summary="Whether the log is whole, or its first bad entry",
    responses={
        200: described(AuditVerification, "What was found.", {"whole": examples.WHOLE, "altered": examples.ALTERED}),
        **problems("store-unavailable"),
    },
)
async def verify_log(request: Request) -> Response:
    """Every entry against the one before it, the head file, the stored plans and prep days, as 'prepwright verify' does."""
    desk = services(request)
    checked, broken = await verify_in_parts(desk.engine, desk.head_file)
    found: dict[str, Any] = {"whole": broken is None, "checked": asdict(checked)}
    return from_document(found if broken is None else {**found, "broken": asdict(broken)})


def _page(desk: Services, wanted: Filters, after: int | None, limit: int) -> dict[str, Any]:
    rows, following = search.page(desk.engine, wanted, after, limit)
    with desk.engine.connect() as connection:
        found = search.found_terms(connection, wanted, [r.seq for r in rows])
    sums = search.totals(desk.engine, wanted) if after is None else []
    names = desk.door.accounts.names(sorted({r.actor for r in rows} | {t.person for t in sums}))
    page: dict[str, Any] = {"entries": [_entry(row, found.get(row.seq, []), names) for row in rows]}
    if following is not None:
        page["next"] = following
    if wanted.substances and after is None:
        page["totals"] = [_total(t, names) for t in sums]
        if wanted.over_mol_L is not None:
            page["without_strength"] = search.without_strength(desk.engine, wanted)
    return page


def _entry(row: Any, terms: list[Any], names: dict[str, str]) -> dict[str, Any]:
    told = orjson.loads(row.body or b"{}")
    found = {
        "seq": row.seq,
        "at": row.at,
        "by": row.actor,
        "name": names.get(row.actor),
        "event": row.event,
        "subject": row.subject,
        "told": told if isinstance(told, dict) else {"told": told},
        "hash": row.hash,
        "outcome": row.outcome,
        "text": row.text,
        "read_as": row.read_as,
        "substances": [
            _known({"substance": t.value, "strength_mol_L": t.strength, "amount_g": t.amount_g}) for t in terms
        ]
        or None,
    }
    return _known(found)


def _total(total: search.Total, names: dict[str, str]) -> dict[str, Any]:
    return _known(
        {
            "substance": total.substance,
            "by": total.person,
            "name": names.get(total.person),
            "outcome": total.outcome,
            "count": total.count,
            "amount_g": float(total.amount_g),
            "unknown_amounts": total.unknown,
        }
    )


def _known(document: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in document.items() if value is not None}


def _jsonl(desk: Services, wanted: Filters) -> Iterator[bytes]:
    with desk.engine.connect() as connection:
        for rows in search.in_order(connection, wanted):
            yield b"".join(lines.json_line(row) for row in rows)


def _csv(desk: Services, wanted: Filters) -> Iterator[str]:
    yield csv_text([lines.COLUMNS])
    with desk.engine.connect() as connection, desk.engine.connect() as beside:
        for rows in search.in_order(connection, wanted):
            found = search.found_terms(beside, wanted, [r.seq for r in rows])
            names = desk.door.accounts.names(sorted({r.actor for r in rows}))
            yield "".join(lines.csv_lines(row, found.get(row.seq, []), names) for row in rows)


def _substances(typed: str | None) -> tuple[str, ...]:
    if typed is None:
        return ()
    found = slugs(typed.strip()) or slugs(typed.strip().replace("-", " "))
    if not found:
        raise _wrong("substance", "no substance has this name")
    return found


def _classes(typed: str) -> tuple[str, ...]:
    name = " ".join(typed.lower().split())
    if "." not in name and " " not in name and not name.startswith("euh"):
        raise _wrong("class", "is neither a group nor a hazard class", group_names())
    return (name,) if name[-1:].isdigit() or name[-2:-1].isdigit() else tuple(name + more for more in _CATEGORIES)


def _person(desk: Services, typed: str) -> str:
    if typed in ("local", "nobody", "service"):
        return typed
    for person in desk.door.accounts.list():
        if typed.strip() == person.id or typed.strip().lower() == person.name:
            return person.id
    raise _wrong("person", "no account has this name or id")


def _wrong(name: str, message: str, allowed: tuple[str, ...] = ()) -> Problem:
    return Problem("invalid-request", "Parameters cannot be used.", (FieldError(f"/query/{name}", message, allowed),))
