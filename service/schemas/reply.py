"""The shape of a reply and of lists of them."""

from typing import Annotated, Literal, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from grammar.request import Request
from service.schemas.approvals import ApprovalShape, WithdrawnShape
from service.schemas.common import Amount, Citation, Hash, Outcome, PlanId, Severity, Time, Versions, Working, closed
from service.schemas.plan import Plan

ConversationId = Annotated[str, Field(description="ten characters; in a bulk run the name the line gave it")]
TakenFor = Annotated[
    Literal["amendment", "answer", "question", "new_request", "thanks", "not_understood"],
    Field(description="what a message of a conversation was taken for"),
]


@closed
class Finding(TypedDict):
    """What one rule found. ``unchecked`` means that a fact is not held: it is never a pass."""

    rule: str
    group: str
    severity: Severity
    result: Literal["fired", "passed", "unchecked"]
    message: NotRequired[str]
    remedy: NotRequired[str]
    citations: NotRequired[list[Citation]]
    approvable: NotRequired[Annotated[Literal[False], Field(description="nobody may allow this")]]


@closed
class QuestionOption(TypedDict):
    """One answer: what it would give, and the request to send for it."""

    id: str
    label: str
    effect: NotRequired[str]
    request: NotRequired[Request]


@closed
class Question(TypedDict):
    """The one question whose answer would change the amounts or the safety."""

    about: str
    text: str
    options: list[QuestionOption]
    remedy: NotRequired[str]


@closed
class SlipShape(TypedDict):
    """A slip that gives exactly the number that was claimed; its id is permanent."""

    id: str
    name: str
    explanation: str


@closed
class AnswerShape(TypedDict):
    """The answer to a question about a plan, a substance or a conversion."""

    amount: NotRequired[Amount]
    text: str
    verdict: NotRequired[Annotated[Literal["right", "close", "wrong"], Field(description="of a claimed amount")]]
    slips: NotRequired[Annotated[list[SlipShape], Field(description="every slip that gives the claimed number")]]
    working: NotRequired[list[Working]]
    citations: NotRequired[list[Citation]]


@closed
class ProblemShape(TypedDict):
    """Why there is no plan. ``span`` counts characters of the text as typed, from 0, end excluded."""

    code: str
    message: str
    span: NotRequired[Annotated[list[int], Field(min_length=2, max_length=2)]]
    remedy: NotRequired[str]
    suggestions: NotRequired[list[str]]
    understood: NotRequired[dict[str, str]]


@closed
class Reply(TypedDict):
    """The answer to one request; the same document from the API, the command line and bulk."""

    id: PlanId
    conversation: NotRequired[ConversationId]
    taken_for: NotRequired[TakenFor]
    outcome: Outcome
    approval: NotRequired[ApprovalShape]
    withdrawn: NotRequired[WithdrawnShape]
    text: NotRequired[Annotated[str, Field(description="as typed, when it has no safe reading")]]
    read_as: NotRequired[str]
    request: NotRequired[Request]
    assumptions: NotRequired[list[str]]
    plan: NotRequired[Plan]
    findings: NotRequired[list[Finding]]
    not_applicable: NotRequired[list[str]]
    question: NotRequired[Question]
    answer: NotRequired[AnswerShape]
    problem: NotRequired[ProblemShape]
    versions: Versions


@closed
class PlanLine(TypedDict):
    """One stored reply in a list."""

    id: PlanId
    at: Time
    outcome: Outcome
    text: NotRequired[str]
    read_as: NotRequired[str]
    plan_hash: Hash
    withdrawn: NotRequired[Annotated[Literal[True], Field(description="somebody withdrew it")]]


@closed
class PlanList(TypedDict):
    """One page of stored replies, newest first; ``next`` is the ``after`` of the following page."""

    plans: list[PlanLine]
    next: NotRequired[int]
