"""The shape of a conversation."""

from typing import Annotated, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from grammar.request import Ask, Check, Combine, Prepare, Series
from service.schemas.common import Outcome, PlanId, Time, closed
from service.schemas.reply import ConversationId, Question, TakenFor


@closed
class Opened(TypedDict):
    """A conversation that was opened."""

    conversation: ConversationId


@closed
class MessageLine(TypedDict):
    """One message: as typed, what it was taken for, and the reply it got (``plan`` is the reply's id)."""

    n: Annotated[int, Field(ge=1)]
    at: Time
    text: NotRequired[Annotated[str, Field(description="as typed; absent for a typed request")]]
    taken_for: TakenFor
    outcome: Outcome
    plan: PlanId


@closed
class Conversation(TypedDict):
    """A conversation as it stands."""

    conversation: ConversationId
    at: Time
    messages: list[MessageLine]
    read_as: NotRequired[str]
    request: NotRequired[Prepare | Combine | Series | Check | Ask]
    question: NotRequired[Question]
