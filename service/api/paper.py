"""What is printed: bench sheets of plans, labels, records and waste labels of preparations, all as PDF."""

from typing import Annotated, Any

import orjson
from fastapi import APIRouter, Query
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from service.api.contract import problems
from service.api.contract_records import PDF
from service.api.records import preparation
from service.paper import labels, sheets
from service.plans.ids import read_id
from service.problems import Problem
from service.services import Services, services

router = APIRouter(tags=["paper"])
_PRINTED = ("not-approved", "withdrawn", "printing-not-installed", "invalid-request", "store-unavailable")
_KEPT = tuple(slug for slug in _PRINTED if slug != "withdrawn")  # waste still needs its label, and the record its sheet
Size = Annotated[
    labels.SizeName, Query(description="large 148 x 105 mm, medium 105 x 74, small 85 x 55, dropper 78 x 35")
]
Copies = Annotated[int, Query(ge=1, le=24, description="A page for each.")]


@router.get(
    "/v1/plans/{plan_id}/sheet",
    response_class=Response,
    summary="The bench sheet of a plan",
    responses={200: PDF, **problems("no-such-plan", "nothing-to-make", *_PRINTED)},
)
async def get_sheet(request: Request, plan_id: str) -> Response:
    """A4, with large amounts, tick boxes and blanks for what was really taken."""
    desk = services(request)
    reply = await run_in_threadpool(_printable, desk, plan_id)
    return _pdf(await run_in_threadpool(sheets.bench_sheet, reply), f"sheet-{reply['id']}")


@router.get(
    "/v1/plans/{plan_id}/label",
    response_class=Response,
    summary="A label that says nominal, for a plan that was not recorded",
    responses={200: PDF, **problems("no-such-plan", "nothing-to-make", "no-real-value", *_PRINTED)},
)
async def get_nominal_label(
    request: Request,
    plan_id: str,
    nominal: Annotated[bool, Query(description="Must be true: the label then says 'nominal'.")] = False,
    size: Size = "medium",
    copies: Copies = 1,
) -> Response:
    """Date and maker are blanks to fill in."""
    reply = await run_in_threadpool(_printable, services(request), plan_id)
    if not nominal:
        raise Problem(
            "no-real-value", "Nothing real is known of this plan: record what was weighed, or ask for nominal=true."
        )
    made = await run_in_threadpool(labels.nominal_label, reply["id"], reply["plan"], size, copies)
    return _pdf(made, f"label-{reply['id']}")


@router.get(
    "/v1/preparations/{preparation_id}/label",
    response_class=Response,
    summary="The label of what was really made",
    responses={
        200: PDF,
        **problems("no-such-preparation", "bottle-not-usable", "nothing-to-make", "no-real-value", *_PRINTED),
    },
)
async def get_label(request: Request, preparation_id: str, size: Size = "medium", copies: Copies = 1) -> Response:
    """The strength as made, of the newest entry; a preparation that failed has no label."""
    await run_in_threadpool(services(request).shelf.refuse, preparation(preparation_id))
    record = await run_in_threadpool(_printable_record, services(request), preparation(preparation_id))
    made = await run_in_threadpool(labels.label_of_record, record, size, copies)
    return _pdf(made, f"label-{record['id']}")


@router.get(
    "/v1/preparations/{preparation_id}/waste-label",
    response_class=Response,
    summary="The label of the bottle its waste goes into",
    responses={200: PDF, **problems("no-such-preparation", "nothing-to-make", "no-real-value", *_KEPT)},
)
async def get_waste_label(request: Request, preparation_id: str, size: Size = "medium", copies: Copies = 1) -> Response:
    """The stream it belongs to, its hazards and a blank for the day it was begun."""
    record = await run_in_threadpool(_printable_record, services(request), preparation(preparation_id), True)
    made = await run_in_threadpool(labels.label_of_record, record, size, copies, True)
    return _pdf(made, f"waste-{record['id']}")


@router.get(
    "/v1/preparations/{preparation_id}/sheet",
    response_class=Response,
    summary="The record of a preparation on paper",
    responses={200: PDF, **problems("no-such-preparation", "nothing-to-make", *_KEPT)},
)
async def get_record_sheet(request: Request, preparation_id: str) -> Response:
    """A4: what was taken, what it gave, every entry and every standardisation."""
    desk = services(request)
    record = await run_in_threadpool(_printable_record, desk, preparation(preparation_id), True)
    titrated = await run_in_threadpool(desk.standards.of, record["id"])
    return _pdf(await run_in_threadpool(sheets.record_sheet, record, titrated), f"record-{record['id']}")


def _printable(desk: Services, typed: str, withdrawn_too: bool = False) -> dict[str, Any]:
    """The stored reply with its plan. Raises Problem where there is none, it was withdrawn, or nobody approved a held one."""
    wanted = read_id(typed)
    found = desk.archive.get(wanted) if wanted else None
    if found is None:
        raise Problem("no-such-plan", "No stored plan has this id.")
    reply: dict[str, Any] = {"id": found[0], **orjson.loads(found[1])}
    if "plan" not in reply:
        raise Problem("nothing-to-make", f"The reply's outcome is {reply['outcome']}: there is nothing to print.")
    if not withdrawn_too:
        desk.withdrawals.refuse(found[0])
    if reply["outcome"] == "held" and not desk.records.approved(found[0]):
        raise Problem("not-approved", "The plan is held and nobody has approved it, so nothing is printed.")
    return reply


def _printable_record(desk: Services, wanted: str, withdrawn_too: bool = False) -> dict[str, Any]:
    standing = desk.records.standing(wanted)
    _printable(desk, standing.plan_id, withdrawn_too)
    return standing.published()


def _pdf(content: bytes, name: str) -> Response:
    return Response(content, 200, {"Content-Disposition": f'inline; filename="{name}.pdf"'}, "application/pdf")
