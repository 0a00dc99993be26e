"""Every list that grows with use is read page by page, by place and not by count; the fixed tables come whole."""

from typing import Any

import pytest

from tests.conftest import Running, StartApp
from tests.contract.shapes import committed, shape_faults
from tests.people.college import College

# What the program itself brings along, or one thing with its own history: bounded, so given whole.
WHOLE = {
    "/v1/audit/verification",
    "/", "/metrics", "/problems", "/v1/rules", "/v1/substances", "/v1/phrasebook", "/v1/session", "/v1/health",
    "/v1/health/live", "/v1/lti/keys", "/v1/policies/current", "/v1/audit/export", "/v1/shelf/export",
    "/v1/preparations/{preparation_id}/standardisations", "/v1/shelf/{bottle_id}/family",
}  # fmt: skip


def test_every_list_has_a_limit_and_a_place() -> None:
    paged, whole = set(), set()
    for path, operations in committed()["paths"].items():
        if "200" not in operations.get("get", {}).get("responses", {}):
            continue
        names = {p["name"] for p in operations["get"].get("parameters", ())}
        answer = operations["get"]["responses"]["200"]["content"].get("application/json", {}).get("schema", {})
        shape = committed()["components"]["schemas"].get(answer.get("$ref", "").rpartition("/")[2], {})
        lists = [name for name, field in shape.get("properties", {}).items() if field.get("type") == "array"]
        if {"limit", "after"} <= names:
            paged.add(path)
            assert "next" in shape["properties"], path
        elif not path.endswith("}") or lists == []:
            whole.add(path)
    listing = {path for path in whole if not any(part in path for part in ("{", "/label", "/sheet"))}
    assert listing <= WHOLE, "a list without pages"
    assert {"/v1/plans", "/v1/preparations", "/v1/approvals", "/v1/audit", "/v1/people", "/v1/webhooks", "/v1/shelf",
            "/v1/policies", "/v1/webhooks/{webhook_id}/deliveries", "/v1/days", "/v1/shelf/expiring"} <= paged  # fmt: skip


def _all(call: Any, path: str, name: str, shape: str) -> list[Any]:
    found: list[Any] = []
    after = ""
    for _ in range(20):
        page = call("GET", f"{path}?limit=2{after}").json()
        assert shape_faults(page, shape) == []
        assert len(page[name]) <= 2
        found += page[name]
        if "next" not in page:
            return found
        after = f"&after={page['next']}"
    raise AssertionError("the pages do not end")


def test_pages_together_are_the_whole_list_once(start: StartApp, database: str) -> None:
    running = start(database)
    ids = [running.ask(f"{n}00 mL of 0.1 M sodium chloride").json()["id"] for n in range(1, 6)]
    assert [line["id"] for line in _all(running.call, "/v1/plans", "plans", "PlanList")] == ids[::-1]
    for n in range(5):
        body = {"url": f"https://alder-vale.example/{n}", "types": ["plan.held"]}
        assert running.call("POST", "/v1/webhooks", json=body).status_code == 201
    hooks = _all(running.call, "/v1/webhooks", "webhooks", "SubscriptionList")
    assert [hook["url"][-1] for hook in hooks] == ["0", "1", "2", "3", "4"]


def test_accounts_are_paged_by_name(start: StartApp, database: str) -> None:
    college = College(start(database))
    entered = college.log_in("admin")
    headers = {"Cookie": f"prepwright_session={entered.cookies['prepwright_session']}"}

    def call(method: str, path: str) -> Any:
        return college.running.call(method, path, headers=headers)

    listed = [person["name"] for person in _all(call, "/v1/people", "people", "PersonList")]
    assert listed == sorted(college.ids)


@pytest.mark.parametrize("query", ["limit=0", "limit=201", "limit=x", "after=x"])
def test_a_place_that_is_none_is_refused(running: Running, query: str) -> None:
    assert running.get(f"/v1/webhooks?{query}").status_code == 422
