"""The officer's queue, decisions, and what an approval covers when the same request comes again."""

from datetime import timedelta
from typing import Any

import orjson
import pytest
from sqlalchemy import update

from service.audit import log
from service.people.clock import now
from service.plans.archive import altered_plan
from service.store.tables_approvals import decisions
from tests.conftest import Running
from tests.contract.shapes import shape_faults
from tests.people.college import College

NICKEL = "100 mL of 0.150 M nickel chloride hexahydrate"
DICHROMATE = "100 mL of 0.1 M potassium dichromate"
CYANIDE = "100 mL of 0.1 M potassium cyanide"
NITRIC = "1 L of 1 M nitric acid from 70 % density 1.42"
SALT = "250 mL of 0.1 M sodium chloride"
REASON = "Practical of year 12, in the fume cupboard."
OFFICER = "safety-officer"


def _slug(response: Any) -> tuple[int, str]:
    return response.status_code, response.json()["type"].removeprefix("/problems/")


def _held(college: College, text: str = NICKEL, **more: Any) -> str:
    reply = college.ask("requester", text, **more).json()
    assert reply["outcome"] == "held", reply.get("problem", reply["outcome"])
    found: str = reply["id"]
    return found


def _decide(college: College, plan_id: str, who: str = OFFICER, **body: Any) -> Any:
    sent = {"decision": "approve", "reason": REASON, **body}
    return college.by_key(who, "POST", f"/v1/plans/{plan_id}/approval", json=sent)


def _second_officer(college: College) -> str:
    person = college.add("deputy", OFFICER)
    college.keys["deputy"] = college.running.run(college.running.services.door.accounts.add_key(person, ["approve"], 9))
    return "deputy"


def test_the_queue_has_the_held_ones_worst_first_then_by_date_then_by_age(college: College) -> None:
    old = _held(college, NICKEL)
    college.ask("requester", SALT)
    college.ask("requester", "250 mL of 0.1 M copper sulfate")
    late = _held(college, NICKEL, needed_by="2027-02-01")
    soon = _held(college, NICKEL, needed_by="2027-01-15")
    worse = _held(college, DICHROMATE)
    worst = _held(college, CYANIDE)
    page = college.by_key(OFFICER, "GET", "/v1/approvals?state=waiting").json()
    assert shape_faults(page, "Queue") == []
    assert [line["plan"] for line in page["approvals"]] == [worst, worse, soon, late, old]
    assert page["approvals"][0]["approval"]["needs"] == 2
    assert page["approvals"][2]["approval"]["needed_by"] == "2027-01-15"
    assert page["approvals"][4]["reasons"][0]["rule"] == "carcinogen-or-reprotoxin-hold"
    assert page["approvals"][4]["asked_by_name"] == "The requester of Alder Vale"
    first = college.by_key(OFFICER, "GET", "/v1/approvals?limit=2").json()
    assert [line["plan"] for line in first["approvals"]] == [worst, worse]
    rest = college.by_key(OFFICER, "GET", f"/v1/approvals?limit=9&after={first['next']}").json()
    assert [line["plan"] for line in rest["approvals"]] == [soon, late, old]
    assert "next" not in rest
    assert _slug(college.by_key(OFFICER, "GET", "/v1/approvals?after=nonsense")) == (422, "invalid-request")


def test_an_approval_lets_the_plan_through_and_is_shown_and_logged(college: College) -> None:
    plan_id = _held(college)
    assert not college.running.services.holds.approved(plan_id)
    before = college.by_key("requester", "GET", f"/v1/plans/{plan_id}")
    decided = _decide(college, plan_id)
    assert decided.status_code == 200
    assert shape_faults(decided.json(), "ApprovalShape") == []
    assert (decided.json()["state"], decided.json()["may_be_issued"]) == ("approved", True)
    after = college.by_key("requester", "GET", f"/v1/plans/{plan_id}")
    assert after.json()["approval"]["decisions"][0]["reason"] == REASON
    assert after.json()["approval"]["decisions"][0]["name"] == "The safety-officer of Alder Vale"
    assert after.headers["etag"] != before.headers["etag"]
    assert college.running.services.holds.approved(plan_id)
    assert college.by_key(OFFICER, "GET", "/v1/approvals").json() == {"approvals": []}
    approved = college.by_key(OFFICER, "GET", "/v1/approvals?state=approved").json()["approvals"]
    assert [line["plan"] for line in approved] == [plan_id]
    engine = college.running.services.engine
    with engine.connect() as connection:
        entries = [e for e in log.entries(connection) if e.subject == plan_id]
    assert [e.event for e in entries] == ["plan.answered", "plan.held", "plan.approved"]
    told = orjson.loads(entries[-1].body)
    assert (told["before"], told["after"], told["reason"]) == ("waiting", "approved", REASON)
    assert entries[-1].actor == college.ids[OFFICER]
    assert log.verify(engine) is None
    assert altered_plan(engine) is None


@pytest.mark.parametrize("reason", [None, "", "   ", 7])
def test_the_reason_is_compulsory(college: College, reason: Any) -> None:
    response = _decide(college, _held(college), reason=reason)
    assert _slug(response) == (422, "invalid-request")
    assert response.json()["errors"][0]["pointer"] == "/reason"


def test_a_declined_plan_stays_declined(college: College) -> None:
    plan_id = _held(college)
    assert _decide(college, plan_id, decision="decline").json()["state"] == "declined"
    assert _slug(_decide(college, plan_id)) == (409, "already-decided")
    assert not college.running.services.holds.approved(plan_id)
    assert college.ask("requester", NICKEL).json()["outcome"] == "held"


def test_nobody_decides_about_their_own_request(college: College) -> None:
    own = college.ask(OFFICER, NICKEL).json()["id"]
    assert _slug(_decide(college, own)) == (403, "own-request")
    assert _slug(_decide(college, own, decision="decline")) == (403, "own-request")
    assert _decide(college, own, _second_officer(college)).status_code == 200


def test_the_single_user_of_a_machine_cannot_allow_what_they_asked(running: Running) -> None:
    plan_id = running.ask(NICKEL).json()["id"]
    answer = running.call("POST", f"/v1/plans/{plan_id}/approval", json={"decision": "approve", "reason": REASON})
    assert _slug(answer) == (403, "own-request")


@pytest.mark.parametrize("who", ["requester", "maker", "head-technician", "auditor", "machine"])
def test_only_who_holds_the_right_decides(college: College, who: str) -> None:
    assert _slug(_decide(college, _held(college), who)) == (403, "not-allowed")


def test_a_two_person_item_needs_two_different_people(college: College) -> None:
    plan_id = _held(college, CYANIDE)
    first = _decide(college, plan_id).json()
    assert (first["state"], first["given"], first["needs"], first["may_be_issued"]) == ("waiting", 1, 2, False)
    assert _slug(_decide(college, plan_id)) == (409, "already-decided")
    waiting = college.by_key(OFFICER, "GET", "/v1/approvals").json()["approvals"]
    assert [line["plan"] for line in waiting] == [plan_id]
    assert college.ask("requester", CYANIDE).json()["outcome"] == "held"
    second = _decide(college, plan_id, _second_officer(college)).json()
    assert (second["state"], second["given"]) == ("approved", 2)
    assert college.ask("requester", CYANIDE).json()["outcome"] == "planned"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("mix bleach and hydrochloric acid", (409, "not-approvable")),
        ("1 L of 0.1 M picric acid", (409, "not-approvable")),
        (SALT, (409, "nothing-to-decide")),
        ("250 mL of 0.1 M copper sulfate", (409, "nothing-to-decide")),
    ],
)
def test_what_is_not_held_has_no_approval(college: College, text: str, expected: tuple[int, str]) -> None:
    plan_id = college.ask("requester", text).json()["id"]
    assert _slug(_decide(college, plan_id)) == expected
    assert _slug(_decide(college, "0000000000")) == (404, "no-such-plan")


def test_the_same_request_within_the_conditions_passes_and_cites_the_approval(college: College) -> None:
    plan_id = _held(college)
    until = (now() + timedelta(days=90)).date().isoformat()
    conditions = {"up_to_volume_mL": 500, "up_to_strength": {"value": 0.2, "unit": "mol/L"}, "until": until}
    assert _decide(college, plan_id, conditions=conditions).status_code == 200
    for text in (NICKEL, "500 mL of 0.2 M NiCl2.6H2O", "250 mL of 0.1 mol/L nickel chloride hexahydrate please"):
        reply = college.ask("maker", text).json()
        assert shape_faults(reply, "Reply") == []
        assert reply["outcome"] == "planned", text
        assert (reply["approval"]["plan"], reply["approval"]["state"]) == (plan_id, "approved")
        assert reply["approval"]["decisions"][0]["conditions"]["until"] == until
        cited = reply["findings"][-1]
        assert (cited["rule"], cited["severity"]) == ("approval", "note")
        assert plan_id in cited["message"]
        assert REASON in cited["message"]
        assert any(f["rule"] == "carcinogen-or-reprotoxin-hold" and f["result"] == "fired" for f in reply["findings"])
    again = college.by_key("maker", "GET", f"/v1/plans/{reply['id']}").json()
    assert again == reply
    assert altered_plan(college.running.services.engine) is None


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("600 mL of 0.150 M nickel chloride hexahydrate", "600 mL is more"),
        ("100 mL of 0.5 M nickel chloride hexahydrate", "stronger"),
        ("100 mL of 0.150 M nickel chloride anhydrous", None),
        ("100 mL of 0.150 M nickel sulfate hexahydrate", None),
        ("100 mL of 0.5 M nitric acid and 0.1 M nickel chloride hexahydrate", None),
    ],
)
def test_outside_the_conditions_it_is_held_again(college: College, text: str, why: str | None) -> None:
    conditions = {"up_to_volume_mL": 500, "up_to_strength": {"value": 0.2, "unit": "mol/L"}}
    assert _decide(college, _held(college), conditions=conditions).status_code == 200
    reply = college.ask("requester", text).json()
    assert reply["outcome"] == "held"
    said = [f["message"] for f in reply["findings"] if f["rule"] == "approval"]
    assert (why is None and said == []) or (why is not None and why in said[0])
    queue = college.by_key(OFFICER, "GET", "/v1/approvals").json()["approvals"]
    assert [line["plan"] for line in queue] == [reply["id"]]


def test_without_conditions_no_more_and_no_stronger_than_what_was_allowed(college: College) -> None:
    _decide(college, _held(college))
    assert college.ask("requester", NICKEL).json()["outcome"] == "planned"
    assert college.ask("requester", NICKEL.replace("100 mL", "101 mL")).json()["outcome"] == "held"
    assert college.ask("requester", NICKEL.replace("0.150", "0.151")).json()["outcome"] == "held"
    assert college.ask("requester", NICKEL.replace("100 mL", "50 mL")).json()["outcome"] == "planned"


def test_an_approval_ends_with_its_last_day(college: College) -> None:
    plan_id = _held(college)
    today = now().date()
    assert _decide(college, plan_id, conditions={"until": today.isoformat()}).status_code == 200
    assert college.ask("requester", NICKEL).json()["outcome"] == "planned"
    yesterday = (today - timedelta(days=1)).isoformat()
    with college.running.services.engine.begin() as connection:
        connection.execute(update(decisions).values(conditions=f'{{"until":"{yesterday}"}}'))
    reply = college.ask("requester", NICKEL).json()
    assert reply["outcome"] == "held"
    assert f"it ended on {yesterday}" in reply["findings"][-1]["message"]
    assert not college.running.services.holds.approved(plan_id)
    assert college.by_key(OFFICER, "GET", f"/v1/plans/{plan_id}").json()["approval"]["may_be_issued"] is False


def test_a_room_and_people_are_kept_to(college: College) -> None:
    conditions = {"room": "Prep room 2", "people": ["maker", college.ids["requester"]]}
    decided = _decide(college, _held(college), conditions=conditions).json()
    kept = decided["decisions"][0]["conditions"]
    assert set(kept["people"]) == {college.ids["maker"], college.ids["requester"]}
    assert college.ask("maker", NICKEL, room="prep  room 2").json()["outcome"] == "planned"
    elsewhere = college.ask("maker", NICKEL, room="Lab 4").json()
    unsaid = college.ask("maker", NICKEL).json()
    other = college.ask("head-technician", NICKEL, room="Prep room 2").json()
    assert [r["outcome"] for r in (elsewhere, unsaid, other)] == ["held"] * 3
    assert "names no room" in unsaid["findings"][-1]["message"]
    assert "other people" in other["findings"][-1]["message"]


@pytest.mark.parametrize(
    ("conditions", "pointer"),
    [
        ({"up_to_volume_mL": 50}, "up_to_volume_mL"),
        ({"up_to_volume_mL": "much"}, "up_to_volume_mL"),
        ({"up_to_volume_mL": True}, "up_to_volume_mL"),
        ({"up_to_strength": {"value": 0.1, "unit": "mol/L"}}, "up_to_strength/value"),
        ({"up_to_strength": {"value": 9, "unit": "furlong"}}, "up_to_strength/unit"),
        ({"up_to_strength": 0.2}, "up_to_strength"),
        ({"until": "2020-01-01"}, "until"),
        ({"until": "soon"}, "until"),
        ({"people": ["nobody.here"]}, "people"),
        ({"room": ""}, "room"),
        ({"colour": "blue"}, "colour"),
    ],
)
def test_conditions_that_cannot_be_used_are_named(college: College, conditions: dict[str, Any], pointer: str) -> None:
    response = _decide(college, _held(college), conditions=conditions)
    assert _slug(response) == (422, "invalid-request")
    assert [e["pointer"] for e in response.json()["errors"]] == [f"/conditions/{pointer}"]


@pytest.mark.parametrize("wish", [{"needed_by": "tomorrow"}, {"needed_by": "20270115"}, {"needed_by": 7}, {"room": ""}])
def test_a_day_or_room_that_cannot_be_used_is_named(college: College, wish: dict[str, Any]) -> None:
    assert _slug(college.ask("requester", NICKEL, **wish)) == (422, "invalid-request")


def test_a_conversation_meets_the_same_approvals(college: College) -> None:
    talk = college.by_key("requester", "POST", "/v1/conversations").json()["conversation"]
    path = f"/v1/conversations/{talk}/messages"
    held = college.by_key("requester", "POST", path, json={"text": NICKEL, "needed_by": "2027-01-15"}).json()
    assert held["outcome"] == "held"
    queue = college.by_key(OFFICER, "GET", "/v1/approvals").json()["approvals"]
    assert [(line["plan"], line["approval"]["needed_by"]) for line in queue] == [(held["id"], "2027-01-15")]
    _decide(college, held["id"])
    again = college.by_key("requester", "POST", path, json={"text": NICKEL}).json()
    assert (again["outcome"], again["approval"]["plan"]) == ("planned", held["id"])


def test_why_it_was_held_is_said_with_figures_and_source(college: College) -> None:
    plan_id = _held(college, NITRIC)
    line = college.by_key(OFFICER, "GET", "/v1/approvals").json()["approvals"][0]
    assert line["reasons"][0]["message"].startswith(
        "6.1 % w/w nitric acid is above the explosives precursor limit of 3 %"
    )
    document = college.by_key(OFFICER, "GET", f"/v1/plans/{plan_id}").json()
    cause = next(f for f in document["findings"] if f["rule"] == "explosives-precursor")
    assert cause["citations"][0]["source_id"] == "eu-2019-1148"
    assert any("5 %" in c["because"] for c in document["plan"]["hazards"]["classes"])
    assert document["plan"]["solution"]["density"]["value"] > 1
