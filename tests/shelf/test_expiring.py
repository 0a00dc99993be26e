"""What must be used soon: bottles and preparations together, by their last day."""

from datetime import timedelta
from typing import Any

from service.people.clock import now
from tests.conftest import Running, StartApp
from tests.contract.shapes import shape_faults
from tests.people.college import College
from tests.records.bench import post, record

Document = dict[str, Any]


def _day(days: int) -> str:
    return (now().date() + timedelta(days=days)).isoformat()


def _expiring(running: Running, query: str) -> Document:
    found: Document = running.get(f"/v1/shelf/expiring?{query}").json()
    assert shape_faults(found, "ExpiringPage") == []
    return found


def _bottle(running: Running, days: int | None, **more: Any) -> str:
    body = {"by": "PK", "name": "sodium chloride", "amount": "500", "unit": "g", "place": "cabinet A1", **more}
    found: str = post(running, "/v1/shelf", body if days is None else {**body, "expiry": _day(days)})["id"]
    return found


def test_bottles_and_preparations_come_by_their_last_day(start: StartApp, database: str) -> None:
    running = start(database)
    past, today, soon = _bottle(running, -3), _bottle(running, 0), _bottle(running, 20, lot="L7")
    _bottle(running, None)
    _bottle(running, 31)
    gone, empty, held = _bottle(running, 5), _bottle(running, 6), _bottle(running, 7)
    post(running, f"/v1/shelf/{gone}/events", {"by": "PK", "kind": "withdraw", "reason": "bottle cracked"})
    post(running, f"/v1/shelf/{empty}/events", {"by": "PK", "kind": "take", "amount": "500", "unit": "g"})
    post(running, f"/v1/shelf/{held}/events", {"by": "PK", "kind": "quarantine", "reason": "recalled"})
    found = _expiring(running, "within_days=30")
    assert found["until"] == _day(30)
    assert [(line["id"], line["days"], line["state"]) for line in found["expiring"]] == [
        (past, -3, "expired"), (today, 0, "in use"), (held, 7, "quarantined"), (soon, 20, "in use"),
    ]  # fmt: skip
    made = record(running, "250 mL of 0.100 M sodium chloride", "1.4610")
    listed = _expiring(running, "within_days=3650")["expiring"]
    assert [line["expiry"] for line in listed] == sorted(line["expiry"] for line in listed)
    line = next(line for line in listed if line["id"] == made["id"])
    assert (line["kind"], line["expiry"]) == ("preparation", made["use_by"]["date"])
    assert line["concentration"] == made["made"]["concentration"]["display"]


def test_a_preparation_in_a_bottle_is_listed_as_the_bottle(start: StartApp, database: str) -> None:
    running = start(database)
    kept = record(running, "250 mL of 0.100 M sodium chloride", "1.4610")["id"]
    thrown = record(running, "250 mL of 0.100 M sodium chloride", "1.4611")["id"]
    record(running, "250 mL of 0.100 M sodium chloride", "1.4612", outcome="spilt")
    body = {"by": "PK", "preparation": kept, "amount": "250", "unit": "mL", "place": "shelf 4", "expiry": _day(10)}
    bottle = post(running, "/v1/shelf", body)["id"]
    assert [line["id"] for line in _expiring(running, "within_days=3650")["expiring"]] == [bottle, thrown]
    post(running, f"/v1/shelf/{thrown}/events", {"by": "PK", "kind": "withdraw", "reason": "poured away"})
    assert [line["id"] for line in _expiring(running, "within_days=3650")["expiring"]] == [bottle]


def test_pages_together_are_the_whole_list_once(start: StartApp, database: str) -> None:
    running = start(database)
    made = [_bottle(running, days) for days in (9, 3, 3, 3, 7)]
    wanted = [made[1], made[2], made[3], made[4], made[0]]
    found: list[str] = []
    after = ""
    for _ in range(5):
        page = _expiring(running, f"limit=2{after}")
        found += [line["id"] for line in page["expiring"]]
        if "next" not in page:
            break
        after = f"&after={page['next']}"
    assert found == wanted
    assert running.get("/v1/shelf/expiring?after=soon").status_code == 422


def test_preparations_of_others_are_shown_to_those_who_see_all(start: StartApp) -> None:
    college = College(start())
    plan = college.ask("requester", "250 mL of 0.100 M sodium chloride").json()["id"]
    body = {"by": "PK", "used": [{"readings": ["1.4610"], "unit": "g"}]}
    assert college.by_key("maker", "POST", f"/v1/plans/{plan}/preparations", json=body).status_code == 201
    seen = college.by_key("maker", "GET", "/v1/shelf/expiring?within_days=3650").json()["expiring"]
    assert [line["kind"] for line in seen] == ["preparation"]
    assert college.by_key("requester", "GET", "/v1/shelf/expiring").status_code == 403
