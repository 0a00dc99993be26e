"""Shapes of approvals: the conditions, the decisions about a held plan, and the queue."""

from typing import Annotated, Literal, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from service.schemas.common import PlanId, Time, closed

Day = Annotated[str, Field(description="a day, as 2027-01-15")]


@closed
class StrengthLimit(TypedDict):
    """The greatest strength allowed, in a unit of the plan: that of its concentration, or % w/w."""

    value: Annotated[float, Field(gt=0)]
    unit: str


@closed
class ConditionsShape(TypedDict):
    """What an approval is tied to. Without a limit of its own, volume and strength are those of the plan."""

    up_to_volume_mL: NotRequired[Annotated[float, Field(gt=0)]]
    up_to_strength: NotRequired[StrengthLimit]
    room: NotRequired[str]
    people: NotRequired[Annotated[list[str], Field(description="ids of accounts")]]
    until: NotRequired[Annotated[str, Field(description="the last day, as 2027-01-15")]]


@closed
class DecisionShape(TypedDict):
    """What one person decided, and why. ``by`` is the id of an account."""

    by: str
    name: NotRequired[str]
    at: Time
    decision: Literal["approve", "decline"]
    reason: str
    conditions: ConditionsShape


@closed
class ApprovalShape(TypedDict):
    """Where a held plan stands. ``plan``: the plan that was approved; ``needs``: how many people must allow it."""

    state: Literal["waiting", "approved", "declined"]
    plan: NotRequired[PlanId]
    needs: int
    given: int
    needed_by: NotRequired[Day]
    may_be_issued: NotRequired[Annotated[bool, Field(description="whether labels and sheets are given out today")]]
    decisions: list[DecisionShape]


@closed
class WithdrawnShape(TypedDict):
    """Who withdrew a plan (the id of an account), when and why."""

    by: str
    name: NotRequired[str]
    at: Time
    reason: str


@closed
class WaitingReason(TypedDict):
    """One check that holds the plan."""

    rule: str
    message: str


@closed
class QueueLine(TypedDict):
    """One held plan of the queue. ``approvable`` false: it can only be declined."""

    plan: PlanId
    at: Time
    asked_by: str
    asked_by_name: NotRequired[str]
    text: NotRequired[str]
    read_as: NotRequired[str]
    reasons: list[WaitingReason]
    approvable: bool
    approval: ApprovalShape


@closed
class Queue(TypedDict):
    """One page, worst first, then by the day it is needed, then by age; ``next`` is the ``after`` of the page that follows."""

    approvals: list[QueueLine]
    next: NotRequired[str]
