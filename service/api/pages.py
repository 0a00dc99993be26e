"""GET / and /problems: what is where, and what each problem means."""

from importlib.metadata import PackageNotFoundError, version

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from service.api.contract import PROBLEM_LIST, PROBLEM_PAGE, START, problems
from service.api.respond import Json, from_document
from service.api.web import PAGE, wants_page, web_response
from service.problems import KINDS, Problem, page

router = APIRouter(tags=["about"])


def program_version() -> str:
    """The installed version of Prepwright; "0" when it runs from a bare checkout."""
    try:
        return version("prepwright")
    except PackageNotFoundError:
        return "0"


@router.get("/", response_class=Json, summary="What is where", responses={200: START})
async def start(request: Request) -> Response:
    """The endpoints, one line each; a browser gets the web page."""
    if wants_page(request):
        return web_response(request, PAGE)
    response = from_document(
        {
            "name": "Prepwright",
            "about": "Ask for a solution of known concentration in plain words; get a checked plan.",
            "version": program_version(),
            "endpoints": {
                "POST /v1/plans": 'ask: {"text": "250 mL of 0.1 M sodium chloride"}',
                "GET /v1/plans": "earlier replies, newest first",
                "GET /v1/plans/{id}": "one earlier reply",
                "POST /v1/conversations": "open a conversation; POST to its /messages, GET it",
                "POST /v1/readings": "what a text says, as fields; nothing is planned or stored",
                "GET /v1/approvals": "held plans, worst first; POST /v1/plans/{id}/approval allows or declines one",
                "POST /v1/batches": "many requests as CSV or JSON lines; tried first, saved with confirm=true",
                "POST /v1/days": "plan a prep day: requests merged, totals, order of work; GET /v1/days/{id}/sheet prints it",
                "GET /v1/audit": "the log, searched; GET /v1/audit/export takes it away",
                "POST /v1/session": "log in; POST /v1/token gives a machine its token",
                "POST /v1/plans/{id}/preparations": "record what was really made; GET /v1/preparations lists it",
                "POST /v1/preparations/{id}/standardisations": "standardise it from raw titres",
                "GET /v1/preparations/{id}/label": "its label as PDF; GET /v1/plans/{id}/sheet the bench sheet",
                "GET /v1/shelf": "bottles on the shelf; /v1/shelf/import and /v1/shelf/export as CSV, /v1/shelf/expiring",
                "GET /v1/rules": "the rules a plan is checked against",
                "GET /v1/substances?q=": "the substances that are known",
                "GET /v1/health": "whether the service can take requests",
                "GET /problems": "what each error means",
                "GET /openapi.json": "the contract, OpenAPI 3.1",
            },
        }
    )
    response.headers["Vary"] = "Accept"
    return response


@router.get("/problems", response_class=Json, summary="What each error means", responses={200: PROBLEM_LIST})
async def list_problems() -> Response:
    """Every problem type this service gives."""
    return from_document({"problems": [page(kind) for kind in KINDS.values()]})


@router.get(
    "/problems/{slug}",
    response_class=Json,
    summary="What one error means",
    responses={200: PROBLEM_PAGE, **problems("no-such-problem")},
)
async def get_problem(slug: str) -> Response:
    """The page behind a problem's ``type``."""
    kind = KINDS.get(slug)
    if kind is None:
        raise Problem("no-such-problem", "There is no such problem type.")
    return from_document(page(kind))
