"""Finding bottles by state and by what is left, and sending an event again over a bad connection."""

from typing import Any

import pytest

from service.api.contract_shelf import NEW, TAKEN
from tests.conftest import Running, StartApp
from tests.contract.shapes import shape_faults
from tests.records.bench import post

Document = dict[str, Any]


def _bottle(running: Running, **changed: Any) -> str:
    return str(post(running, "/v1/shelf", {**NEW, **changed}, 201)["id"])


def _happen(running: Running, bottle: str, kind: str, **more: Any) -> None:
    post(running, f"/v1/shelf/{bottle}/events", {"by": "PK", "kind": kind, **more}, 201)


def _listed(running: Running, query: str) -> list[str]:
    page = running.get(f"/v1/shelf?{query}").json()
    assert shape_faults(page, "ShelfPage") == []
    return [bottle["place"] for bottle in page["bottles"]]


@pytest.fixture
def filled(start: StartApp, database: str) -> Running:
    running = start(database)
    bottles = {place: _bottle(running, place=place) for place in ("full", "tenth", "low", "empty", "held", "gone")}
    for place, amount in (("tenth", "450"), ("low", "450.1"), ("empty", "500"), ("gone", "499")):
        _happen(running, bottles[place], "take", amount=amount, unit="g")
    _happen(running, bottles["held"], "quarantine", reason="label cannot be read")
    _happen(running, bottles["gone"], "withdraw", reason="broken")
    _bottle(running, place="old", expiry="2020-01-01")
    return running


def test_bottles_are_found_by_state_and_by_what_is_left(filled: Running) -> None:
    assert _listed(filled, "state=quarantined") == ["held"]
    assert _listed(filled, "state=used+up") == ["empty"]
    assert _listed(filled, "state=in+use") == ["low", "tenth", "full"]
    # of 500 g a tenth is 50 g
    assert _listed(filled, "low_pct=10&state=in+use") == ["low", "tenth"]
    assert _listed(filled, "low_pct=9&state=in+use") == []
    assert filled.get("/v1/shelf?state=lost").status_code == 422


def test_the_pages_of_a_filtered_list_join(filled: Running) -> None:
    whole = _listed(filled, "state=in+use")
    got, after = [], ""
    for _ in whole:
        page = filled.get(f"/v1/shelf?state=in+use&limit=1{after}").json()
        got += [bottle["place"] for bottle in page["bottles"]]
        after = f"&after={page['next']}" if "next" in page else ""
    assert got == whole
    assert after == ""


def test_open_reservations_stand_on_the_bottle(running: Running) -> None:
    bottle = _bottle(running)
    _happen(running, bottle, "reserve", amount="60", unit="g")
    _happen(running, bottle, "reserve", amount="5.0", unit="g")
    found = running.get(f"/v1/shelf/{bottle}").json()
    first, second = (event["number"] for event in found["history"])
    assert found["reservations"] == [{"number": first, "amount": "60"}, {"number": second, "amount": "5.0"}]
    _happen(running, bottle, "release", reservation=first)
    found = running.get(f"/v1/shelf/{bottle}").json()
    assert shape_faults(found, "Bottle") == []
    assert [one["number"] for one in found["reservations"]] == [second]


def test_what_is_sent_again_is_taken_once(start: StartApp, database: str) -> None:
    running = start(database)
    added = [running.call("POST", "/v1/shelf", json=NEW, headers={"Idempotency-Key": "a-bottle"}) for _ in range(2)]
    assert [r.status_code for r in added] == [201, 201]
    assert added[0].content == added[1].content
    document = added[0].json()
    assert shape_faults(document, "Bottle") == []
    assert running.get(f"/v1/shelf/{document['id']}").json() == document
    assert len(running.get("/v1/shelf").json()["bottles"]) == 1
    path = f"/v1/shelf/{document['id']}/events"
    taken = [running.call("POST", path, json=TAKEN, headers={"Idempotency-Key": "a-take"}) for _ in range(3)]
    assert {(r.status_code, r.content) for r in taken} == {(201, taken[0].content)}
    assert taken[1].headers["Idempotency-Replayed"] == "true"
    assert running.get(f"/v1/shelf/{document['id']}").json()["left"] == "475.03"  # 500 - 24.97, once
    other = running.call("POST", path, json={**TAKEN, "amount": "1"}, headers={"Idempotency-Key": "a-take"})
    assert other.json()["type"].endswith("key-reused")
