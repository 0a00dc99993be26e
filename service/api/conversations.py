"""POST /v1/conversations, POST /v1/conversations/{id}/messages, GET /v1/conversations/{id}."""

from fastapi import APIRouter
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from service.api.bodies import asked, json_object
from service.api.contract import CONVERSATION, MESSAGE_REPLY, OPENED, ask_body, problems
from service.api.respond import Json, from_document, reply_headers
from service.api.wishes import taken_out
from service.people.gate import caller
from service.plans.document import with_id
from service.plans.ids import read_id
from service.problems import Problem
from service.services import services
from service.store.writer import StoreBusyError, StoreDownError

router = APIRouter(prefix="/v1/conversations", tags=["conversations"])
_NONE = "No conversation has this id."


@router.post(
    "",
    status_code=201,
    response_class=Json,
    summary="Open a conversation",
    responses={201: OPENED, **problems("busy", "store-unavailable")},
)
async def open_conversation(request: Request) -> Response:
    """Takes no body. Messages go to the address in the Location header."""
    desk = services(request)
    try:
        conversation = await desk.conversations.open(caller(request).id)
    except StoreBusyError:
        raise Problem("busy", "Too many requests are waiting to be stored.") from None
    except StoreDownError:
        raise Problem("store-unavailable", "The conversation could not be stored.") from None
    response = from_document({"conversation": conversation})
    response.status_code = 201
    response.headers["Location"] = f"/v1/conversations/{conversation}/messages"
    return response


@router.post(
    "/{conversation_id}/messages",
    response_class=Json,
    summary="Say something: a request, a change of it, an answer, or a question about the plan",
    responses={
        200: MESSAGE_REPLY,
        **problems(
            "body-not-json",
            "content-not-json",
            "body-too-large",
            "no-such-conversation",
            "invalid-request",
            "busy",
            "store-unavailable",
        ),
    },
    openapi_extra={"requestBody": ask_body()},
)
async def say(request: Request, conversation_id: str) -> Response:
    """The reply is that of POST /v1/plans with the ``conversation`` and what the message was ``taken_for``."""
    desk = services(request)
    sent = await json_object(request)
    wish = taken_out(sent)
    message = asked(sent)
    conversation = await _own(request, conversation_id)
    try:
        said = (
            await desk.conversations.say(conversation, message, desk.bench, caller(request).id, wish)
            if conversation
            else None
        )
    except StoreBusyError:
        raise Problem("busy", "Too many requests are waiting to be stored.") from None
    except StoreDownError:
        raise Problem("store-unavailable", "The reply could not be stored, so it is not given.") from None
    if said is None or conversation is None:
        raise Problem("no-such-conversation", _NONE)
    stored = said.stored
    body = b'{"conversation":"%b","taken_for":"%b",%b' % (
        conversation.encode("ascii"),
        said.taken_for.encode("ascii"),
        stored.document[1:],
    )
    return Json(with_id(stored.id, body), headers=reply_headers(stored.id, stored.plan_hash, stored.entry))


@router.get(
    "/{conversation_id}",
    response_class=Json,
    summary="A conversation: its messages, the last request and the open question",
    responses={200: CONVERSATION, **problems("no-such-conversation", "store-unavailable")},
)
async def get_conversation(request: Request, conversation_id: str) -> Response:
    """Each message names the stored reply it got; GET /v1/plans/{id} has it in full."""
    conversation = await _own(request, conversation_id)
    found = await run_in_threadpool(services(request).conversations.history, conversation) if conversation else None
    if found is None:
        raise Problem("no-such-conversation", _NONE)
    return from_document(found)


async def _own(request: Request, typed: str) -> str | None:
    """The id of a conversation the caller may see, or None."""
    conversation, who = read_id(typed), caller(request)
    if conversation is None or who.sees_all:
        return conversation
    own = await run_in_threadpool(services(request).conversations.may_see, conversation, who.id)
    return conversation if own else None
