"""What may be issued, from what is stored alone."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

import pytest

from service.approvals import may_be_issued
from service.approvals.conditions import Conditions, from_document
from service.approvals.issue import Approvals, Decision

TODAY = date(2027, 1, 15)


@dataclass(frozen=True)
class Row:
    outcome: str


def _by(person: str, decision: Literal["approve", "decline"] = "approve", until: date | None = None) -> Decision:
    return Decision(person, "2027-01-10T08:00:00.000000Z", decision, "because", Conditions(until=until))


def test_only_what_is_planned_or_approved_may_be_issued() -> None:
    assert may_be_issued(Row("planned"), Approvals()) is None
    assert may_be_issued(Row("held"), Approvals()) == "The plan is held: somebody must allow it first."
    assert may_be_issued(Row("held"), Approvals((_by("a"),))) is None
    assert may_be_issued(Row("held"), Approvals((_by("a", "decline"),))) == "The plan was declined."


@pytest.mark.parametrize("outcome", ["refused", "question", "answered", "not_understood"])
def test_an_approval_never_makes_a_plan_of_what_is_none(outcome: str) -> None:
    reason = may_be_issued(Row(outcome), Approvals((_by("a"), _by("b"))))
    assert reason is not None
    assert outcome in reason


def test_two_people_are_two_different_people() -> None:
    assert may_be_issued(Row("held"), Approvals((), 2)) == "The plan is held: 2 people must allow it first."
    assert (
        may_be_issued(Row("held"), Approvals((_by("a"), _by("a")), 2))
        == "The plan is held: 1 more must allow it first."
    )
    assert may_be_issued(Row("held"), Approvals((_by("a"), _by("b")), 2)) is None


def test_what_comes_after_the_matter_is_settled_changes_nothing() -> None:
    assert Approvals((_by("a"), _by("b", "decline"))).state == "approved"
    assert Approvals((_by("a", "decline"), _by("b"))).state == "declined"
    assert Approvals((_by("a"), _by("b", "decline"), _by("c")), 2).state == "declined"


def test_an_approval_that_has_ended_counts_no_longer() -> None:
    approvals = Approvals((_by("a", until=date(2027, 1, 14)), _by("b", until=date(2027, 3, 1))), 2)
    assert may_be_issued(Row("held"), approvals) is None
    assert may_be_issued(Row("held"), approvals, TODAY) == "The approval ended on 2027-01-14."
    assert may_be_issued(Row("held"), Approvals((_by("a", until=TODAY),)), TODAY) is None


def test_conditions_come_back_as_they_were_kept() -> None:
    sent = {"up_to_volume_mL": 500.0, "up_to_strength": {"value": 0.2, "unit": "mol/L"}, "room": "2", "people": ["A"]}
    kept = {**sent, "until": "2027-03-26"}
    assert from_document(kept).document() == kept
    assert from_document({}).document() == {}
