"""Where a held plan stands, and whether labels and sheets may be issued for it. Pure functions of what is stored."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Literal, Protocol

from service.approvals.conditions import Conditions

State = Literal["waiting", "approved", "declined"]


@dataclass(frozen=True, slots=True)
class Decision:
    """What one person decided about a held plan, and why."""

    person: str
    at: str
    decision: Literal["approve", "decline"]
    reason: str
    conditions: Conditions = field(default_factory=Conditions)


class PlanRow(Protocol):
    """What is looked at of a stored plan: a row of the table ``plans`` has it."""

    @property
    def outcome(self) -> str:
        """One of the six outcomes."""
        ...


@dataclass(frozen=True, slots=True)
class Approvals:
    """What was decided about one plan, oldest first; ``needs``: how many people must allow it."""

    decisions: tuple[Decision, ...] = ()
    needs: int = 1

    @property
    def given(self) -> int:
        """How many different people have allowed it."""
        return len({d.person for d in self.decisions if d.decision == "approve"})

    @property
    def state(self) -> State:
        """The first decline or the last approval that was needed settles it; what comes later changes nothing."""
        allowed: set[str] = set()
        for decision in self.decisions:
            if decision.decision == "decline":
                return "declined"
            allowed.add(decision.person)
            if len(allowed) >= self.needs:
                return "approved"
        return "waiting"


def ended(decisions: Sequence[Decision], today: date) -> date | None:
    """The last day of an approval that is over, or None."""
    days = [d.conditions.until for d in decisions if d.conditions.until is not None]
    last = min(days, default=None)
    return last if last is not None and last < today else None


def only_for(decisions: Sequence[Decision]) -> frozenset[str] | None:
    """The people who alone may make it, by the conditions of every approval; None where anybody may."""
    named = [frozenset(d.conditions.people) for d in decisions if d.conditions.people]
    return frozenset.intersection(*named) if named else None


def may_be_issued(plan: PlanRow, approvals: Approvals, today: date | None = None) -> str | None:
    """Why no label or sheet may be issued for a stored plan; None when it may.

    With ``today`` an approval that has ended counts no longer.
    """
    if plan.outcome == "planned":
        return None
    if plan.outcome != "held":
        return f"The reply is no plan to make: its outcome is {plan.outcome}."
    state = approvals.state
    if state == "declined":
        return "The plan was declined."
    if state == "waiting":
        more = approvals.needs - approvals.given
        who = (
            "somebody" if more == 1 and not approvals.given else f"{more} more" if approvals.given else f"{more} people"
        )
        return f"The plan is held: {who} must allow it first."
    over = None if today is None else ended(approvals.decisions, today)
    return None if over is None else f"The approval ended on {over.isoformat()}."
