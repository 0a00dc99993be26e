"""A plan or a preparation is withdrawn with a reason: it stays, it is seen by all, and nothing more comes of it."""

from typing import Any

import pytest

from service.audit import log
from service.plans.archive import altered_plan
from tests.conftest import Running, StartApp
from tests.contract.shapes import shape_faults
from tests.people.college import College

SALT = "250 mL of 0.1 M sodium chloride"
NICKEL = "100 mL of 0.150 M nickel chloride hexahydrate"
WHY = {"reason": "The practical was moved to next term."}
MADE = {"by": "AB", "used": [{"readings": ["1.4610"], "unit": "g"}]}


def _slug(response: Any) -> tuple[int, str]:
    return response.status_code, response.json()["type"].removeprefix("/problems/")


def _withdraw(running: Running, plan: str, body: Any = WHY) -> Any:
    return running.call("POST", f"/v1/plans/{plan}/withdrawal", json=body)


def test_a_withdrawn_plan_stays_and_prints_nothing_more(start: StartApp, database: str) -> None:
    running = start(database)
    plan = running.ask(SALT).json()["id"]
    record = running.call("POST", f"/v1/plans/{plan}/preparations", json=MADE).json()["id"]
    before = running.get(f"/v1/plans/{plan}")
    gone = _withdraw(running, plan)
    assert gone.status_code == 201
    assert shape_faults(gone.json(), "WithdrawnShape") == []
    assert (gone.json()["reason"], gone.json()["by"]) == (WHY["reason"], "local")
    after = running.get(f"/v1/plans/{plan}")
    assert shape_faults(after.json(), "Reply") == []
    assert {k: v for k, v in after.json().items() if k != "withdrawn"} == before.json()
    assert after.headers["etag"] != before.headers["etag"]
    assert after.json()["withdrawn"] == gone.json()
    page = running.get("/v1/plans").json()
    assert [line.get("withdrawn") for line in page["plans"]] == [True]
    assert shape_faults(page, "PlanList") == []
    for path in (f"/v1/plans/{plan}/sheet", f"/v1/plans/{plan}/label?nominal=true", f"/v1/preparations/{record}/label"):
        assert _slug(running.get(path)) == (409, "withdrawn"), path
    assert _slug(running.call("POST", f"/v1/plans/{plan}/preparations", json=MADE)) == (409, "withdrawn")
    assert _slug(_withdraw(running, plan)) == (409, "withdrawn")
    # What was made must still be thrown away under a label, and its record stays on paper.
    for path in (f"/v1/preparations/{record}/waste-label", f"/v1/preparations/{record}/sheet"):
        assert running.get(path).status_code in (200, 503), path
    engine = running.services.engine
    with engine.connect() as connection:
        last = list(log.entries(connection))[-1]
    assert (last.event, last.subject, last.body) == ("plan.withdrawn", plan, b'{"reason":"%b"}' % WHY["reason"].encode())
    assert log.verify(engine) is None
    assert altered_plan(engine) is None


def test_a_held_plan_that_is_withdrawn_waits_no_longer(start: StartApp, database: str) -> None:
    college = College(start(database))
    plan = college.ask("requester", NICKEL).json()["id"]
    assert college.by_key("requester", "POST", f"/v1/plans/{plan}/withdrawal", json=WHY).status_code == 201
    assert college.by_key("safety-officer", "GET", "/v1/approvals").json() == {"approvals": []}
    decision = {"decision": "approve", "reason": "fume cupboard"}
    refused = college.by_key("safety-officer", "POST", f"/v1/plans/{plan}/approval", json=decision)
    assert _slug(refused) == (409, "withdrawn")
    shown = college.by_key("maker", "GET", f"/v1/plans/{plan}").json()
    assert shown["approval"]["may_be_issued"] is False
    assert shown["withdrawn"]["name"] == "The requester of Alder Vale"


def test_the_approval_of_a_withdrawn_plan_covers_nothing_more(start: StartApp, database: str) -> None:
    college = College(start(database))
    plan = college.ask("requester", NICKEL).json()["id"]
    decision = {"decision": "approve", "reason": "fume cupboard"}
    approved = college.by_key("safety-officer", "POST", f"/v1/plans/{plan}/approval", json=decision)
    assert approved.json()["state"] == "approved"
    assert college.ask("requester", NICKEL).json()["outcome"] == "planned"
    college.by_key("maker", "POST", f"/v1/plans/{plan}/withdrawal", json=WHY)
    assert college.ask("requester", NICKEL).json()["outcome"] == "held"


def test_nobody_withdraws_what_they_cannot_see(start: StartApp) -> None:
    college = College(start())
    plan = college.ask("maker", SALT).json()["id"]
    for role in ("requester", "machine"):
        answer = college.by_key(role, "POST", f"/v1/plans/{plan}/withdrawal", json=WHY)
        assert _slug(answer) == (404, "no-such-plan"), role
    assert _slug(college.by_key("auditor", "POST", f"/v1/plans/{plan}/withdrawal", json=WHY)) == (403, "not-allowed")
    assert college.by_key("head-technician", "POST", f"/v1/plans/{plan}/withdrawal", json=WHY).status_code == 201


@pytest.mark.parametrize("body", [{}, {"reason": ""}, {"reason": " \t"}, {"reason": 7}, {**WHY, "colour": "blue"},
                                  {"reason": "x" * 1001}])  # fmt: skip
def test_a_reason_is_compulsory(running: Running, body: dict[str, Any]) -> None:
    plan = running.ask(SALT).json()["id"]
    assert _slug(_withdraw(running, plan, body)) == (422, "invalid-request")
    assert "withdrawn" not in running.get(f"/v1/plans/{plan}").json()


def test_a_withdrawn_preparation_has_no_label_and_is_no_source(start: StartApp, database: str) -> None:
    running = start(database)
    plan = running.ask(SALT).json()["id"]
    record = running.call("POST", f"/v1/plans/{plan}/preparations", json=MADE).json()["id"]
    event = {"by": "PK", "kind": "withdraw", "reason": "label fell off"}
    assert running.call("POST", f"/v1/shelf/{record}/events", json=event).status_code == 201
    assert _slug(running.call("POST", f"/v1/shelf/{record}/events", json=event)) == (409, "bottle-not-usable")
    assert _slug(running.get(f"/v1/preparations/{record}/label")) == (409, "bottle-not-usable")
    diluted = running.ask("100 mL of 0.01 M sodium chloride from 0.1 M stock").json()["id"]
    body = {"by": "AB", "used": [{"readings": ["10"], "unit": "mL", "source": record}]}
    answer = running.call("POST", f"/v1/plans/{diluted}/preparations", json=body)
    assert _slug(answer) == (409, "bottle-not-usable")
