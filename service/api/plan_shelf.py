"""GET /v1/plans/{id}/shelf: what the shelf holds of a plan."""

from typing import Any

import orjson
from fastapi import APIRouter
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from service.api.contract import problems
from service.api.described import described
from service.api.respond import Json, from_document
from service.people.gate import caller
from service.plans.ids import read_id
from service.problems import Problem
from service.schemas.plan_shelf import PlanShelf
from service.services import Services, services
from service.shelf.for_plan import of_plan

router = APIRouter(tags=["shelf"])
_KCL = {"value": 18.637, "unit": "g", "display": "18.637 g"}
_PLACE = {"bottle": "AVC0000002", "place": "cabinet A1", "lot": "EX-1042", "free": "12.4", "unit": "g"}
_COPPER = {"bottle": "AVC0000012", "place": "cabinet B2", "lot": "EX-1107", "free": "410", "unit": "g"}
_EXAMPLES: dict[str, Any] = {
    "too_little": {
        "plan": "7K3QX9M2TD",
        "fetch": [{"what": "potassium chloride", "amount": _KCL, "places": [_PLACE], "short": "12.40 g free, 18.637 g needed"}],
        "ready": [],
    },
    "which_form": {
        "plan": "9F0C2H5VBN",
        "forms": [
            {"label": "anhydrous copper(II) sulfate", "places": []},
            {"label": "copper(II) sulfate pentahydrate", "places": [_COPPER]},
        ],
    },
}


@router.get(
    "/v1/plans/{plan_id}/shelf",
    response_class=Json,
    summary="Where the things of a plan stand, what is short, and what is made already",
    responses={
        200: described(PlanShelf, "As the shelf stands now.", _EXAMPLES),
        **problems("no-such-plan", "store-unavailable"),
    },
)
async def get_plan_shelf(request: Request, plan_id: str) -> Response:
    """Bottles past their last day, quarantined, withdrawn or empty are left out; what is reserved is not free."""
    who, wanted = caller(request), read_id(plan_id)
    return from_document(await run_in_threadpool(_found, services(request), wanted, None if who.sees_all else who.id))


def _found(desk: Services, wanted: str | None, only: str | None) -> dict[str, Any]:
    found = desk.archive.get(wanted, only) if wanted else None
    if found is None:
        raise Problem("no-such-plan", "No stored plan has this id.")
    with desk.engine.connect() as connection:
        reply = {"id": found[0], **orjson.loads(found[1])}
        return of_plan(connection, reply, lambda made: desk.records.standing(made, connection).document)
