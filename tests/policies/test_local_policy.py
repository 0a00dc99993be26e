"""A local policy: two people, what changes, what the law does not let it do, and what old plans keep."""

import time
from typing import Any

import orjson
import pytest
from pydantic import ValidationError

from service.audit import log
from service.bench import default_bench
from service.pipeline import answer
from service.plans.archive import altered_plan
from service.policies import archive
from service.policies.building import bench_under
from service.policies.shape import LocalPolicy
from tests.conftest import StartApp
from tests.contract.shapes import shape_faults
from tests.people.college import College

SODA = "0.8 M sodium hydroxide for 20 students, 50 mL each, 10 % spare"
SALT = "250 mL of 0.1 M sodium chloride"
NICKEL = "100 mL of 0.150 M nickel chloride hexahydrate"
OFFICER, DEPUTY = "safety-officer", "deputy"
STRICT: dict[str, Any] = {"name": "From January", "students": {"acids_and_alkalis_mol_L": 0.5}}
WHY = "agreed at the safety meeting"


@pytest.fixture
def college(college: College) -> College:
    """The college with a second officer."""
    person = college.add(DEPUTY, OFFICER)
    accounts = college.running.services.door.accounts
    college.keys[DEPUTY] = college.running.run(accounts.add_key(person, ["plan:read", "plan:write", "approve", "policy"], 9))
    return college


def _slug(response: Any) -> tuple[int, str]:
    return response.status_code, response.json()["type"].removeprefix("/problems/")


def _propose(college: College, local: dict[str, Any], who: str = OFFICER, **more: Any) -> Any:
    return college.by_key(who, "POST", "/v1/policies", json={"policy": local, "reason": WHY, **more})


def _decide(college: College, n: int, who: str = DEPUTY, decision: str = "confirm") -> Any:
    return college.by_key(who, "POST", f"/v1/policies/{n}/decision", json={"decision": decision, "reason": "read"})


def _in_force(college: College, local: dict[str, Any]) -> int:
    n: int = _propose(college, local).json()["n"]
    assert _decide(college, n).status_code == 200
    return n


def _document(text: str, **local: Any) -> dict[str, Any]:
    return answer(text, bench_under(LocalPolicy.model_validate(local), 1, default_bench())).document


def _fired(document: dict[str, Any], rule: str) -> list[dict[str, Any]]:
    return [f for f in document["findings"] if f["rule"] == rule and f["result"] == "fired"]


def test_it_takes_two_people_and_the_change_is_shown_before(college: College) -> None:
    open_plan = college.ask("requester", SODA).json()
    assert (open_plan["outcome"], open_plan["versions"]["policy"][:2]) == ("planned", "0+")
    proposed = _propose(college, STRICT)
    assert proposed.status_code == 201
    diff = proposed.json()
    assert shape_faults(diff, "PolicyDiff") == []
    assert {"field": "/students/acids_and_alkalis_mol_L", "before": 1.0, "after": 0.5} in diff["changes"]
    assert len(diff["changes"]) == 2
    assert diff["open_plans"]["totals"] == [{"before": "planned", "after": "held", "plans": 1}]
    told = diff["open_plans"]["plans"][0]
    assert (told["plan"], [why["rule"] for why in told["why"]]) == (open_plan["id"], ["student-strength-cap"])
    assert college.ask("requester", SODA).json()["outcome"] == "planned"  # a proposal changes nothing
    n = diff["n"]
    assert _slug(_decide(college, n, OFFICER)) == (403, "own-proposal")
    for role in ("requester", "maker", "auditor", "admin", "machine", "head-technician"):
        assert _slug(_decide(college, n, role)) == (403, "not-allowed")
    confirmed = _decide(college, n)
    assert confirmed.status_code == 200
    assert shape_faults(confirmed.json(), "PolicyShape") == []
    assert confirmed.json()["state"] == "in force"
    again = college.ask("requester", SODA).json()
    assert (again["outcome"], again["versions"]["policy"]) == ("held", confirmed.json()["version"])
    assert _slug(_decide(college, n)) == (409, "already-decided")
    assert _slug(_decide(college, 99)) == (404, "no-such-policy")
    assert college.by_key("requester", "GET", f"/v1/plans/{open_plan['id']}").json() == open_plan
    with college.running.services.engine.connect() as connection:
        entries = [e for e in log.entries(connection) if e.subject == "policy"]
    assert [(e.event, e.actor) for e in entries] == [
        ("policy.proposed", college.ids[OFFICER]), ("policy.changed", college.ids[DEPUTY]),
    ]  # fmt: skip
    assert orjson.loads(entries[1].body) == {"n": n, "before": 0, "digest": confirmed.json()["version"][2:], "reason": "read"}
    assert altered_plan(college.running.services.engine) is None
    assert log.verify(college.running.services.engine) is None


def test_a_dry_run_stores_nothing_and_the_page_lists_what_was_stored(college: College) -> None:
    tried = _propose(college, STRICT, dry_run=True)
    assert (tried.status_code, "n" in tried.json()) == (200, False)
    assert shape_faults(tried.json(), "PolicyDiff") == []
    assert college.by_key(OFFICER, "GET", "/v1/policies").json() == {"in_force": 0, "policies": []}
    first = _in_force(college, STRICT)
    second = _propose(college, {**STRICT, "keeping": {"retention_years": 10}}).json()["n"]
    page = college.by_key("requester", "GET", "/v1/policies?limit=1").json()
    assert shape_faults(page, "PolicyPage") == []
    assert (page["in_force"], page["policies"][0]["n"], page["next"]) == (first, second, second)
    rest = college.by_key("requester", "GET", f"/v1/policies?after={second}").json()
    assert [(line["n"], line["state"]) for line in rest["policies"]] == [(first, "in force")]
    assert rest["policies"][0]["decided_by_name"] == "The deputy of Alder Vale"
    current = college.by_key("requester", "GET", "/v1/policies/current").json()
    assert (current["n"], current["policy"]["students"]["acids_and_alkalis_mol_L"]) == (first, 0.5)
    shipped = college.by_key("requester", "GET", "/v1/policies/0").json()
    assert (shipped["state"], shape_faults(shipped, "PolicyShape")) == ("replaced", [])
    assert _slug(college.by_key("requester", "GET", "/v1/policies/99")) == (404, "no-such-policy")
    diff = college.by_key(OFFICER, "GET", f"/v1/policies/{second}/diff").json()
    assert [c["field"] for c in diff["changes"]] == ["/keeping/retention_years"]
    assert _slug(college.by_key("requester", "GET", f"/v1/policies/{second}/diff")) == (403, "not-allowed")
    declined = _decide(college, second, OFFICER, "decline").json()  # who proposed it may take it back
    assert declined["state"] == "declined"


def test_a_proposal_that_was_compared_with_an_older_version_is_not_confirmed(college: College) -> None:
    one = _propose(college, STRICT).json()["n"]
    two = _propose(college, {"name": "Other", "keeping": {"standardise_days": 14}}).json()["n"]
    assert _decide(college, one).status_code == 200
    assert _slug(_decide(college, two)) == (409, "policy-moved-on")
    assert college.running.services.policies.number == one


def test_two_servers_confirm_at_once_and_one_version_is_in_force(
    start: StartApp, database: str, college: College, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Both have looked before either wrote: the database lets the first write count and the other change nothing."""
    other = start(database)
    one, two = (_propose(college, {"name": f"Version {k}"}).json()["n"] for k in "ab")
    here, there = college.running.services.policies, other.services.policies
    assert college.running.run(here.decide(one, True, "read", "A")) is None
    monkeypatch.setattr(archive.Policies, "_in_force", lambda _self: 0)  # the other looked before this one wrote
    with pytest.raises(Exception, match="somebody else"):
        other.run(there.decide(two, True, "read", "B"))
    with college.running.services.engine.connect() as connection:
        states = dict(connection.exec_driver_sql("select n, state from policies").all())  # type: ignore[arg-type]
    assert states == {one: "in force", two: "proposed"}


def test_another_server_takes_the_version_over_without_a_restart(
    start: StartApp, database: str, college: College, monkeypatch: pytest.MonkeyPatch
) -> None:
    import asyncio

    monkeypatch.setattr(archive, "LOOK_EVERY_S", 0.05)
    other = start(database)
    n = _in_force(college, STRICT)
    until = time.monotonic() + 5
    while other.services.policies.number != n and time.monotonic() < until:
        other.run(asyncio.sleep(0.05))
    assert other.services.bench.policy.version == college.running.services.bench.policy.version


def test_a_restart_keeps_the_version_and_the_same_request_has_the_same_hash(start: StartApp, database: str, college: College) -> None:
    n = _in_force(college, STRICT)
    before = college.ask("requester", SALT).headers["etag"]
    again = start(database)
    assert again.services.policies.number == n
    document = answer(SALT, again.services.bench).document
    assert document == answer(SALT, college.running.services.bench).document
    headers = {"Authorization": f"Bearer {college.keys['requester'].bearer}"}
    assert again.call("POST", "/v1/plans", json={"text": SALT}, headers=headers).headers["etag"] == before


@pytest.mark.parametrize(
    ("local", "pointer"),
    [
        # Regulation (EU) 2019/1148, Annex I: nitric acid above 3 % and hydrogen peroxide above 12 % w/w are restricted.
        ({"pack": "eu", "precursors": [{"substance": "nitric-acid", "above_pct": 3.5}]}, "/policy/precursors/0/above_pct"),
        ({"pack": "eu", "precursors": [{"substance": "hydrogen-peroxide", "above_pct": 12.1}]}, "/policy/precursors/0/above_pct"),
        ({"precursors": [{"substance": "acetone", "above_pct": 5}]}, "/policy/precursors/0/above_pct"),
        ({"precursors": [{"substance": "sodium-chloride", "above_pct": 5}]}, "/policy/precursors/0/substance"),
        ({"ask_first": [{"substance": "sodium-azide", "above_mol_L": 0.5, "reason": "x"}]}, "/policy/ask_first/0/above_mol_L"),
    ],
)
def test_the_law_is_never_loosened(college: College, local: dict[str, Any], pointer: str) -> None:
    refused = _propose(college, local)
    assert _slug(refused) == (422, "looser-than-the-law")
    assert [error["pointer"] for error in refused.json()["errors"]] == [pointer]


@pytest.mark.parametrize(
    ("local", "pointer"),
    [
        ({"tolerances": {"accurate_pct": 2}}, "/policy/tolerances/accurate_pct"),
        ({"tolerances": {"accurate_pct": 0.9, "usual_pct": 0.5}}, "/policy/tolerances"),
        ({"limits": {"large_mL": "20 L"}}, "/policy/limits/large_mL"),
        ({"limits": {"large_mL": 5000, "largest_mL": 2000}}, "/policy/limits"),
        ({"keeping": {"retention_years": 0}}, "/policy/keeping/retention_years"),
        ({"keeping": {"retention_years": True}}, "/policy/keeping/retention_years"),
        ({"pack": "mars"}, "/policy/pack"),
        ({"unheard_of": 1}, "/policy/unheard_of"),
        ({"ask_first": [{"reason": "x"}]}, "/policy/ask_first/0"),
        ({"ask_first": [{"group": "chromates", "reason": "x"}]}, "/policy/ask_first/0/group"),
        ({"students": {"caps": [{"substance": "unobtainium", "most_mol_L": 1}]}}, "/policy/students/caps/0/substance"),
    ],
)
def test_every_limit_has_its_range(college: College, local: dict[str, Any], pointer: str) -> None:
    refused = _propose(college, local)
    assert _slug(refused) == (422, "invalid-request")
    assert pointer in [error["pointer"] for error in refused.json()["errors"]]


def test_what_changes_nothing_is_no_proposal(college: College) -> None:
    assert _slug(_propose(college, {})) == (422, "invalid-request")


def test_a_second_person_is_needed_where_the_new_policy_asks_for_one(college: College) -> None:
    plan_id = college.ask("requester", NICKEL).json()["id"]
    entry = {"substance": "nickel-ii-chloride", "two_person": True, "reason": "carcinogen"}
    _in_force(college, {"name": "Two", "ask_first": [entry]})
    body = {"decision": "approve", "reason": "practical of year 12"}
    first = college.by_key(OFFICER, "POST", f"/v1/plans/{plan_id}/approval", json=body).json()
    assert (first["state"], first["needs"], first["given"]) == ("waiting", 2, 1)
    second = college.by_key(DEPUTY, "POST", f"/v1/plans/{plan_id}/approval", json=body).json()
    assert (second["state"], second["may_be_issued"]) == ("approved", True)


def test_what_the_new_policy_refuses_is_not_approved(college: College) -> None:
    plan_id = college.ask("requester", NICKEL).json()["id"]
    diff = _propose(college, {"ask_first": [{"substance": "nickel-ii-chloride", "action": "refuse", "reason": "given up"}]}).json()
    assert diff["open_plans"]["totals"] == [{"before": "held", "after": "refused", "plans": 1}]
    assert _decide(college, diff["n"]).status_code == 200
    body = {"decision": "approve", "reason": "practical of year 12"}
    assert _slug(college.by_key(OFFICER, "POST", f"/v1/plans/{plan_id}/approval", json=body)) == (409, "not-approvable")
    declined = {"decision": "decline", "reason": "given up"}
    assert college.by_key(OFFICER, "POST", f"/v1/plans/{plan_id}/approval", json=declined).json()["state"] == "declined"


def test_only_the_people_an_approval_names_record_the_plan(college: College) -> None:
    plan_id = college.ask("maker", NICKEL).json()["id"]
    body = {"decision": "approve", "reason": "by the maker", "conditions": {"people": ["maker"]}}
    assert college.by_key(OFFICER, "POST", f"/v1/plans/{plan_id}/approval", json=body).status_code == 200
    made = {"by": "PK", "used": [{"readings": ["3.565"], "unit": "g"}]}
    others = college.by_key("head-technician", "POST", f"/v1/plans/{plan_id}/preparations", json=made)
    assert _slug(others) == (409, "not-among-people")
    cited = college.ask("maker", NICKEL).json()
    assert cited["outcome"] == "planned"
    others = college.by_key("head-technician", "POST", f"/v1/plans/{cited['id']}/preparations", json=made)
    assert _slug(others) == (409, "not-among-people")
    assert college.by_key("maker", "POST", f"/v1/plans/{plan_id}/preparations", json=made).status_code == 201
    assert college.by_key("maker", "POST", f"/v1/plans/{cited['id']}/preparations", json=made).status_code == 201


def test_an_old_plan_is_recorded_under_the_policy_it_was_made_under(college: College) -> None:
    plan_id = college.ask("maker", "100 mL of 0.1 M sucrose").json()["id"]
    _in_force(college, {"ask_first": [{"substance": "sucrose", "action": "refuse", "reason": "ants"}]})
    assert college.ask("maker", "100 mL of 0.1 M sucrose").json()["outcome"] == "refused"
    made = {"by": "PK", "used": [{"readings": ["3.423"], "unit": "g"}]}
    recorded = college.by_key("maker", "POST", f"/v1/plans/{plan_id}/preparations", json=made)
    assert recorded.status_code == 201
    assert recorded.json()["versions"]["policy"].startswith("0+")
    after = _propose(college, {"name": "Again"}, dry_run=True).json()
    assert plan_id not in [one["plan"] for one in after["open_plans"]["plans"]]  # recorded: open no longer


def test_a_single_user_confirms_alone_and_is_told(start: StartApp, database: str) -> None:
    running = start(database)
    n = running.call("POST", "/v1/policies", json={"policy": STRICT, "reason": WHY}).json()["n"]
    found = running.call("POST", f"/v1/policies/{n}/decision", json={"decision": "confirm", "reason": "read"}).json()
    assert (found["state"], "one user" in found["note"]) == ("in force", True)
    assert running.ask(SODA).json()["outcome"] == "held"


def test_a_policy_is_never_read_with_a_field_more() -> None:
    with pytest.raises(ValidationError):
        LocalPolicy.model_validate({"limits": {"large_L": 20}})
