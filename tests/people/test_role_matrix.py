"""Every endpoint for every role, made from the routes: a new endpoint is tried without being named here."""

import re
from collections.abc import Iterator

import pytest

from service.openapi import contract
from service.people.rights import ALL_PLANS, OPEN, RIGHTS, ROLES, SCOPES, may, needed, rights_of
from tests.conftest import Running, StartApp
from tests.people.college import College

# What each role may do, said a second time and by hand: a right that slips into a role is seen here.
EXPECTED: dict[str, set[tuple[str, str]]] = {
    "ask": {("POST", "/v1/plans"), ("POST", "/v1/conversations")},
    "check": {("POST", "/v1/checks")},
    "see": {("GET", "/v1/plans"), ("GET", "/v1/plans/{plan_id}"), ("GET", "/v1/rules"), ("GET", "/v1/substances")},
}
WHO = {
    "ask": {"requester", "maker", "head-technician", "safety-officer"},
    "check": {"requester", "maker", "head-technician", "safety-officer", "learner"},
    "see": {"requester", "maker", "head-technician", "safety-officer", "auditor"},
}


def _operations(running: Running) -> Iterator[tuple[str, str]]:
    for path, operations in contract(running.app)["paths"].items():
        for method in operations:
            yield method.upper(), path


def _url(path: str) -> str:
    return re.sub(r"\{[^}]+\}", "0000000000", path)


def test_every_endpoint_for_nobody_and_for_every_role(start: StartApp) -> None:
    college = College(start())
    running = college.running
    operations = list(_operations(running))
    assert len(operations) > 15
    for method, path in operations:
        refused = running.call(method, _url(path)).status_code == 401
        assert refused == (needed(method, path)[0] != OPEN), f"nobody {method} {path}"
    for role in ROLES:
        rights = {"plan:read", "plan:write"} if role == "machine" else ROLES[role]
        headers = _headers(college, role)
        for method, path in operations:
            if path == "/v1/session":
                continue  # open to everybody who has come in; to leave would end the session used here
            response = running.call(method, _url(path), headers=headers)
            needs = needed(method, path)
            allowed = needs[0] == OPEN or any(need in rights for need in needs)
            turned_away = response.status_code == 403 and response.json()["type"] == "/problems/not-allowed"
            assert turned_away == (not allowed), f"{role} {method} {path}: {response.status_code}"
            assert response.status_code < 500, f"{role} {method} {path}"
            for what, listed in EXPECTED.items():
                if (method, path) in listed and role != "machine":
                    assert allowed == (role in WHO[what]), f"{role} {method} {path}"


def _headers(college: College, role: str) -> dict[str, str]:
    """How somebody of that role comes in: a machine by its key, a person by a session."""
    if role == "machine":
        return {"Authorization": f"Bearer {college.keys[role].bearer}"}
    entered = college.log_in(role)
    cookie = f"prepwright_session={entered.cookies['prepwright_session']}"
    return {"Cookie": cookie, "X-CSRF-Token": entered.json()["csrf_token"]}


def test_a_stolen_key_of_a_maker_decides_nothing(start: StartApp) -> None:
    college = College(start())
    for role in ("requester", "maker", "head-technician", "auditor", "admin", "machine"):
        answer = college.by_key(role, "POST", "/v1/plans/0000000000/approval", json={})
        assert answer.status_code in (403, 404), role


def test_no_endpoint_that_changes_something_is_open_by_oversight() -> None:
    assert needed("POST", "/v1/something-new") == ("record:write",)
    assert needed("DELETE", "/v1/something/{id}") == ("record:write",)
    assert needed("GET", "/v1/something-new") == ("plan:read",)
    assert needed("HEAD", "/v1/plans") == needed("GET", "/v1/plans")


def test_who_decides_does_not_run_accounts_and_the_other_way_round() -> None:
    assert rights_of(["admin"]) == {"people"}
    assert [role for role, rights in ROLES.items() if "approve" in rights] == ["safety-officer"]
    assert rights_of(["maker", "safety-officer"]) == ROLES["maker"] | ROLES["safety-officer"]
    assert not ROLES["machine"]
    assert ALL_PLANS not in SCOPES and "people" not in SCOPES
    assert set().union(*ROLES.values()) <= set(RIGHTS)
    with pytest.raises(KeyError):
        rights_of(["wizard"])


def test_what_others_asked_for_is_not_there_for_a_requester(start: StartApp) -> None:
    """Plan, sheet, labels, record and standardisations of somebody else: no such thing; one's own are there."""
    college = College(start())
    plan = college.ask("maker", "250 mL of 0.1 M sodium chloride").json()["id"]
    body = {"by": "AB", "used": [{"readings": ["1.4610"], "unit": "g"}]}
    made = college.by_key("maker", "POST", f"/v1/plans/{plan}/preparations", json=body).json()["id"]
    paths = [path for method, path in _operations(college.running) if method == "GET"]
    tried = 0
    for path in paths:
        if "{plan_id}" not in path and "{preparation_id}" not in path:
            continue
        url = path.replace("{plan_id}", plan).replace("{preparation_id}", made)
        wanted = 404 if may(needed("GET", path), rights_of(["requester"])) else 403
        assert college.by_key("requester", "GET", url).status_code == wanted, path
        assert college.by_key("maker", "GET", url).status_code in (200, 409), path
        tried += 1
    assert tried >= 7
    assert college.by_key("requester", "GET", "/v1/preparations").json()["preparations"] == []
    assert [p["id"] for p in college.by_key("maker", "GET", "/v1/preparations").json()["preparations"]] == [made]
    own = college.ask("requester", "100 mL of 0.1 M sodium chloride").json()["id"]
    assert college.by_key("requester", "GET", f"/v1/plans/{own}/sheet").status_code in (200, 503)
