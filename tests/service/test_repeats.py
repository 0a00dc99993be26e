"""A request that is sent again under its key is answered once."""

import asyncio
import os
import signal
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select, text, update

from service.audit import log
from service.people.clock import now, stamp
from service.store.tables_approvals import repeats
from service.store.writer import StoreDownError
from tests.conftest import Running, StartApp
from tests.people.college import College
from tests.people.conftest import _quick_hashes

__all__ = ["_quick_hashes"]

SALT = {"text": "250 mL of 0.1 M sodium chloride"}
OTHER = {"text": "500 mL of 0.1 M sodium chloride"}
CHECK = {"claimed": {"text": "7.98 g for 500 mL of 0.1 M copper sulfate - right?"}}
NICKEL = "100 mL of 0.150 M nickel chloride hexahydrate"


def _send(running: Running, key: str, body: Any, path: str = "/v1/plans") -> Any:
    return running.call("POST", path, json=body, headers={"Idempotency-Key": key})


def _slug(response: Any) -> tuple[int, str]:
    return response.status_code, response.json()["type"].removeprefix("/problems/")


def _replayed(first: Any, second: Any) -> None:
    assert (first.status_code, second.status_code) == (200, 200)
    assert second.content == first.content
    assert "idempotency-replayed" not in first.headers
    assert second.headers["idempotency-replayed"] == "true"
    for name in ("etag", "content-location", "prepwright-audit-head", "content-type"):
        assert second.headers.get(name) == first.headers.get(name)


@pytest.mark.parametrize(("path", "body"), [("/v1/plans", SALT), ("/v1/checks", CHECK)])
def test_the_same_body_is_answered_again_word_for_word(start: StartApp, database: str, path: str, body: Any) -> None:
    running = start(database)
    first = _send(running, "week-14", body, path)
    _replayed(first, _send(running, "week-14", body, path))
    with running.services.engine.connect() as connection:
        assert log.head(connection).seq == 1
    assert _send(running, "week-15", body, path).json()["id"] != first.json()["id"]


def test_another_body_or_another_address_under_the_key_is_refused(start: StartApp, database: str) -> None:
    running = start(database)
    _send(running, "a", SALT)
    assert _slug(_send(running, "a", OTHER)) == (422, "key-reused")
    assert _slug(_send(running, "a", CHECK, "/v1/checks")) == (422, "key-reused")


def test_an_answer_survives_a_restart(start: StartApp, database: str) -> None:
    first = _send(start(database), "a", SALT)
    _replayed(first, _send(start(database), "a", SALT))


def test_of_many_at_once_one_is_answered_and_the_others_wait(start: StartApp, database: str) -> None:
    pair = (start(database), start(database))

    async def all_at_once(running: Running) -> list[Any]:
        sent = {"json": SALT, "headers": {"Idempotency-Key": "a"}}
        return await asyncio.gather(*(running.client.post("/v1/plans", **sent) for _ in range(8)))

    responses = pair[0].run(all_at_once(pair[0]))
    good = [r for r in responses if r.status_code == 200]
    assert good
    assert {r.json()["id"] for r in good} == {good[0].json()["id"]}
    assert {_slug(r) for r in responses if r.status_code != 200} <= {(409, "in-flight")}
    assert _send(pair[1], "a", SALT).content == good[0].content
    with pair[0].services.engine.connect() as connection:
        assert log.head(connection).seq == 1


def test_a_claim_in_flight_is_said_and_an_abandoned_one_is_taken_over(start: StartApp, database: str) -> None:
    running = start(database)
    _send(running, "a", SALT)
    with running.services.engine.begin() as connection:
        connection.execute(update(repeats).values(status=None, body=None, headers=None))
    assert _slug(_send(running, "a", SALT)) == (409, "in-flight")
    with running.services.engine.begin() as connection:
        connection.execute(update(repeats).values(at=stamp(now() - timedelta(seconds=90))))
    assert _send(running, "a", SALT).status_code == 200


def test_a_key_is_free_again_when_the_work_came_to_nothing(
    start: StartApp, database: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    running = start(database)

    async def fail(*_: object) -> None:
        raise StoreDownError("x")

    with monkeypatch.context() as broken:
        broken.setattr("service.store.writer.Writer.write", fail)
        assert _slug(_send(running, "a", SALT)) == (503, "store-unavailable")
    assert _send(running, "a", SALT).status_code == 200
    assert _slug(_send(running, "b", {"texts": "x"})) == (422, "invalid-request")
    assert _send(running, "b", SALT).status_code == 200


def test_keys_belong_to_a_client_and_go_with_time(start: StartApp, database: str) -> None:
    college = College(start(database))
    key = {"headers": {"Idempotency-Key": "a"}, "json": SALT}
    first = college.by_key("maker", "POST", "/v1/plans", **{**key, "headers": dict(key["headers"])})
    second = college.by_key("requester", "POST", "/v1/plans", **{**key, "headers": dict(key["headers"])})
    assert first.json()["id"] != second.json()["id"]
    with college.running.services.engine.begin() as connection:
        connection.execute(text("update repeats set at = '2020-01-01T00:00:00.000000Z'"))
    again = start(database)
    with again.services.engine.connect() as connection:
        assert connection.execute(select(repeats)).all() == []


def test_a_decision_is_made_once(start: StartApp, database: str) -> None:
    college = College(start(database))
    plan_id = college.ask("requester", NICKEL).json()["id"]
    path = f"/v1/plans/{plan_id}/approval"

    def decide(key: str) -> Any:
        sent = {"decision": "approve", "reason": "for the practical"}
        return college.by_key("safety-officer", "POST", path, json=sent, headers={"Idempotency-Key": key})

    first = decide("a")
    assert first.json()["state"] == "approved"
    assert first.json()["decisions"][0]["name"] == "The safety-officer of Alder Vale"
    shown = college.by_key("safety-officer", "GET", f"/v1/plans/{plan_id}").json()["approval"]
    assert shown == first.json()
    # The plan is decided: only the answer that was kept can be given, and it must be found before that is looked at.
    again = decide("a")
    assert (again.status_code, again.content) == (200, first.content)
    assert again.headers["idempotency-replayed"] == "true"
    assert _slug(decide("b")) == (409, "already-decided")


@pytest.mark.parametrize("key", ["", "x" * 201, "t\u00e9"])
def test_a_key_that_cannot_be_used_is_named(running: Running, key: str) -> None:
    headers = {b"Idempotency-Key": key.encode("latin-1")}
    response = running.call("POST", "/v1/plans", json=SALT, headers=headers)
    assert _slug(response) == (422, "invalid-request")


def test_a_kill_leaves_the_answer_or_nothing(database: str, tmp_path: Path) -> None:
    import http.client
    import json

    from tests.crash.servers import start_server

    server, port = start_server(database, tmp_path)
    given: dict[str, bytes] = {}
    try:
        for n in range(20):
            connection = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
            headers = {"Content-Type": "application/json", "Idempotency-Key": f"k{n}"}
            connection.request("POST", "/v1/plans", json.dumps(SALT), headers)
            given[f"k{n}"] = connection.getresponse().read()
            connection.close()
    finally:
        os.kill(server.pid, signal.SIGKILL)
        server.wait()
    server, port = start_server(database, tmp_path)
    try:
        for key, body in given.items():
            connection = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
            headers = {"Content-Type": "application/json", "Idempotency-Key": key}
            connection.request("POST", "/v1/plans", json.dumps(SALT), headers)
            assert connection.getresponse().read() == body
            connection.close()
    finally:
        os.kill(server.pid, signal.SIGKILL)
        server.wait()


def test_a_record_that_is_sent_again_is_written_once(start: StartApp, database: str) -> None:
    running = start(database)
    plan_id = running.ask("250 mL of 0.100 M potassium hydrogen phthalate").json()["id"]
    path = f"/v1/plans/{plan_id}/preparations"
    body = {"by": "PK", "used": [{"readings": ["5.1040"], "unit": "g"}]}
    first, second = (_send(running, "bench-1", body, path) for _ in range(2))
    assert (first.status_code, second.status_code) == (201, 201)
    assert second.content == first.content
    assert second.headers["idempotency-replayed"] == "true"
    assert second.headers["location"] == first.headers["location"]
    assert running.get(first.headers["location"]).json() == first.json()
    assert len(running.get("/v1/preparations").json()["preparations"]) == 1
    assert _slug(_send(running, "bench-1", body | {"by": "JO"}, path)) == (422, "key-reused")
    wrong = body | {"used": []}
    assert _send(running, "bench-2", wrong, path).status_code == 422
    assert _send(running, "bench-2", body, path).status_code == 201  # a refusal leaves the key free
