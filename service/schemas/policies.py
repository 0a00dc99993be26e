"""Shapes of the local policy: a version, the list of them, a proposal, and what it would change."""

from typing import Annotated, Any, Literal, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from service.policies.shape import LocalPolicy, Words
from service.schemas.common import PlanId, Time, closed

Number = Annotated[int, Field(ge=0, description="its number; 0 is what is shipped")]
PolicyState = Literal["proposed", "in force", "replaced", "declined"]
PlanState = Literal["planned", "held", "approved", "question", "refused", "answered", "not_understood"]
Reason = Annotated[str, Field(min_length=1, max_length=1000, pattern=r"^[^\x00]*\S[^\x00]*$")]


@closed
class PolicyProposal(TypedDict):
    """A proposal: the whole policy and why. With ``dry_run`` nothing is stored."""

    policy: LocalPolicy
    reason: Reason
    dry_run: NotRequired[Annotated[bool, Field(strict=True)]]


@closed
class PolicyDecision(TypedDict):
    """What the second person decides about a proposal, and why."""

    decision: Literal["confirm", "decline"]
    reason: Reason


@closed
class PolicyLine(TypedDict):
    """One version or proposal. ``version`` is what replies carry; people are ids of accounts."""

    n: Number
    version: str
    state: PolicyState
    name: Words
    pack: str
    at: NotRequired[Time]
    proposed_by: NotRequired[str]
    proposed_by_name: NotRequired[str]
    reason: NotRequired[str]
    based_on: NotRequired[Number]
    decided_at: NotRequired[Time]
    decided_by: NotRequired[str]
    decided_by_name: NotRequired[str]
    decision_reason: NotRequired[str]


@closed
class PolicyPage(TypedDict):
    """One page, newest first; ``next`` is the ``after`` of the page that follows."""

    in_force: Number
    policies: list[PolicyLine]
    next: NotRequired[int]


@closed
class PolicyShape(PolicyLine):
    """One version or proposal with every limit."""

    policy: LocalPolicy
    note: NotRequired[str]


@closed
class FieldChange(TypedDict):
    """A field that differs, by its JSON pointer. Of a list: an entry that is taken out (``before``) or added (``after``)."""

    field: str
    before: NotRequired[Any]
    after: NotRequired[Any]


@closed
class WhyHeld(TypedDict):
    """One check that makes the difference."""

    rule: str
    message: str


@closed
class PlanChange(TypedDict):
    """An open plan that would stand differently. It keeps the version it was made under; this is of asking again."""

    plan: PlanId
    read_as: NotRequired[str]
    before: PlanState
    after: PlanState
    why: list[WhyHeld]


@closed
class ChangeTotal(TypedDict):
    """How many open plans would go from one state to another."""

    before: PlanState
    after: PlanState
    plans: int


@closed
class OpenPlans(TypedDict):
    """The open plans that were planned again: held, approved or planned, and without a record; ``newest_only``: there are more."""

    looked_at: int
    newest_only: bool
    totals: list[ChangeTotal]
    plans: list[PlanChange]


@closed
class PolicyDiff(TypedDict):
    """What a policy would change against the version in force. ``n`` is that of the proposal, where it is stored."""

    n: NotRequired[Number]
    state: NotRequired[PolicyState]
    based_on: Number
    changes: list[FieldChange]
    open_plans: OpenPlans
    next: Annotated[str, Field(description="what has to happen for it to take effect")]
