"""What the shelf holds of a plan: places, what is short, what is made already, the form that is there."""

from typing import Any

import pytest

from tests.conftest import Running, StartApp
from tests.contract.shapes import shape_faults
from tests.people.college import College
from tests.records.bench import plan, post, record

CHLORIDE = "250 mL of 1.00 M potassium chloride"  # 18.64 g


def put_up(running: Running, name: str, amount: str, unit: str, **more: Any) -> str:
    body = {"by": "PK", "name": name, "amount": amount, "unit": unit, "place": "cabinet A1", **more}
    found: str = post(running, "/v1/shelf", body)["id"]
    return found


def shelf_for(running: Running, text: str) -> dict[str, Any]:
    asked = running.ask(text).json()
    found: dict[str, Any] = running.get(f"/v1/plans/{asked['id']}/shelf").json()
    assert shape_faults(found, "PlanShelf") == []
    return found


def test_places_and_what_is_short(start: StartApp, database: str) -> None:
    running = start(database)
    assert shelf_for(running, CHLORIDE)["fetch"][0]["places"] == []
    gone = put_up(running, "potassium chloride", "500", "g", expiry="2020-01-31")
    first = put_up(running, "potassium chloride", "10", "g", lot="EX-1")
    line = shelf_for(running, CHLORIDE)["fetch"][0]
    assert [one["bottle"] for one in line["places"]] == [first]  # the one past its last day is left out
    assert gone not in str(line)
    assert line["short"] == "10.00 g free, 18.637 g needed"
    second = put_up(running, "potassium chloride", "20", "g")
    line = shelf_for(running, CHLORIDE)["fetch"][0]
    assert {one["bottle"] for one in line["places"]} == {first, second}
    assert "short" not in line
    post(running, f"/v1/shelf/{second}/events", {"by": "PK", "kind": "reserve", "amount": "15", "unit": "g"})
    assert shelf_for(running, CHLORIDE)["fetch"][0]["short"] == "15.00 g free, 18.637 g needed"
    post(running, f"/v1/shelf/{first}/events", {"by": "PK", "kind": "quarantine", "reason": "cap was off"})
    assert [one["bottle"] for one in shelf_for(running, CHLORIDE)["fetch"][0]["places"]] == [second]


def test_what_is_made_already(start: StartApp, database: str) -> None:
    running = start(database)
    assert shelf_for(running, "100 mL of 0.100 M sodium chloride")["ready"] == []
    made = record(running, "500 mL of 0.100 M sodium chloride", "2.9220")
    bottle = post(running, "/v1/shelf", {"by": "PK", "preparation": made["id"], "amount": "480", "unit": "mL", "place": "C1"})
    ready = shelf_for(running, "100 mL of 0.100 M sodium chloride")["ready"]
    assert [(one["bottle"], one["strength"], one["enough"]) for one in ready] == [(bottle["id"], "0.1000 mol/L", True)]
    assert shelf_for(running, "1 L of 0.100 M sodium chloride")["ready"][0]["enough"] is False
    assert shelf_for(running, "100 mL of 0.102 M sodium chloride")["ready"] == []
    post(running, f"/v1/shelf/{bottle['id']}/events", {"by": "PK", "kind": "withdraw", "reason": "cloudy"})
    assert shelf_for(running, "100 mL of 0.100 M sodium chloride")["ready"] == []


def test_a_nominal_solution_is_not_offered_as_made(start: StartApp, database: str) -> None:
    running = start(database)
    made = record(running, "1 L of 0.1 M sodium hydroxide", "4.000")
    post(running, "/v1/shelf", {"by": "PK", "preparation": made["id"], "amount": "900", "unit": "mL", "place": "C1"})
    assert shelf_for(running, "100 mL of 0.1 M sodium hydroxide")["ready"] == []


def test_the_form_that_is_there(running: Running) -> None:
    put_up(running, "copper(II) sulfate pentahydrate", "250", "g")
    forms = {line["label"]: len(line["places"]) for line in shelf_for(running, "500 mL of 0.1 M copper sulfate")["forms"]}
    assert forms == {"anhydrous copper(II) sulfate": 0, "copper(II) sulfate pentahydrate": 1}


def test_asking_changes_no_plan(running: Running) -> None:
    before = running.ask(CHLORIDE)
    put_up(running, "potassium chloride", "10", "g")
    assert running.ask(CHLORIDE).headers["etag"] == before.headers["etag"]


@pytest.mark.parametrize("typed", ["0000000000", "nothing"])
def test_a_plan_that_is_not_there(running: Running, typed: str) -> None:
    found = running.get(f"/v1/plans/{typed}/shelf")
    assert (found.status_code, found.json()["type"]) == (404, "/problems/no-such-plan")


def test_who_may_see_the_shelf_may_ask(start: StartApp, database: str) -> None:
    college = College(start(database))
    asked = {who: college.ask(who, CHLORIDE).json()["id"] for who in ("requester", "maker")}
    assert college.by_key("requester", "GET", f"/v1/plans/{asked['requester']}/shelf").status_code == 403
    assert college.by_key("maker", "GET", f"/v1/plans/{asked['maker']}/shelf").status_code == 200


def test_a_plan_in_hand(running: Running) -> None:
    put_up(running, "potassium chloride", "10", "g")
    found = running.get(f"/v1/plans/{plan(running, CHLORIDE).lower()}/shelf")
    assert found.json()["fetch"][0]["what"] == "potassium chloride"
