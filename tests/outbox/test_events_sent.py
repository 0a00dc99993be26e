"""Signed events: what is written with the event, how it is signed, sent again, and where it is never sent."""

import asyncio
import base64
import hashlib
import hmac
import re
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import orjson
import pytest
from sqlalchemy import select, update
from standardwebhooks import Webhook, WebhookVerificationError

from service.audit import log
from service.outbox.archive import LEASE, new_secret
from service.outbox.messages import TYPES
from service.outbox.sender import ATTEMPT_S, Sender, signed
from service.people.clock import now, stamp
from service.store.tables_outbox import deliveries
from tests.conftest import Running, StartApp
from tests.contract.shapes import shape_faults
from tests.outbox.receiver import Receiver
from tests.people.college import College

NICKEL = "100 mL of 0.150 M nickel chloride hexahydrate"
SALT = "250 mL of 0.1 M sodium chloride"
MADE = {"by": "PK", "used": [{"readings": ["1.461"], "unit": "g"}]}


def _subscribe(running: Running, url: str, *types: str) -> dict[str, Any]:
    made = running.call("POST", "/v1/webhooks", json={"url": url, "types": list(types or TYPES)})
    assert made.status_code == 201, made.text
    found: dict[str, Any] = made.json()
    return found


def _send(running: Running, by: Sender | None = None) -> int:
    return int(running.run((by or _sender(running)).send_due()))


def _sender(running: Running) -> Sender:
    return Sender(running.services.outbox, running.services.settings)


def _deliveries(running: Running, webhook: str) -> list[dict[str, Any]]:
    page = running.get(f"/v1/webhooks/{webhook}/deliveries").json()
    assert shape_faults(page, "DeliveryPage") == []
    return list(page["deliveries"])


def _due_now(running: Running) -> None:
    with running.services.engine.begin() as connection:
        connection.execute(update(deliveries).values(next_at=stamp(now())))


def test_the_public_library_verifies_what_is_sent(running: Running, receiver: Receiver) -> None:
    made = _subscribe(running, receiver.url)
    assert shape_faults(made, "NewSecret") == []
    plan = running.ask(NICKEL).json()
    assert _send(running) == 1
    headers, body = receiver.got[0]
    told = Webhook(made["secret"]).verify(body, headers)
    assert told["type"] == "plan.held"
    assert told["data"] == {"plan": plan["id"], "state": "held"}
    assert b"nickel" not in body
    with pytest.raises(WebhookVerificationError, match="No matching signature"):
        Webhook(made["secret"]).verify(body.replace(b"held", b"free"), headers)
    with pytest.raises(WebhookVerificationError, match="No matching signature"):
        Webhook(new_secret()).verify(body, headers)
    assert _send(running) == 0
    line = _deliveries(running, made["id"])[0]
    assert (line["state"], line["attempts"], line["answer"]) == ("sent", 1, "status 204")


def test_a_stamp_of_400_seconds_ago_is_too_old() -> None:
    secret, body = new_secret(), b'{"type":"plan.held"}'
    fresh = signed(body, "msg_1_a", now() - timedelta(seconds=200), [secret])
    assert Webhook(secret).verify(body, fresh) == {"type": "plan.held"}
    with pytest.raises(WebhookVerificationError, match="too old"):
        Webhook(secret).verify(body, signed(body, "msg_1_a", now() - timedelta(seconds=400), [secret]))


def test_the_signature_is_that_of_the_vector_the_libraries_of_the_standard_test_themselves_with() -> None:
    """The reference vector of the Standard Webhooks libraries' own tests (function ``sign``)."""
    when = datetime.fromtimestamp(1614265330, UTC)
    secret = "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"
    found = signed(b'{"test": 2432232314}', "msg_p5jXN8AQM9LWM0D4loKWxJek", when, [secret])
    assert found["webhook-signature"] == "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE="


def test_the_vector_of_the_documentation_is_right() -> None:
    """Worked out with nothing but the HMAC of the standard library (RFC 2104)."""
    text = (Path(__file__).parents[2] / "docs" / "webhooks.md").read_text("utf-8")
    kept = dict(re.findall(r"^\| (secret|webhook-id|webhook-timestamp|body|webhook-signature) \| `(.*)` \|$", text, re.M))
    key = base64.b64decode(kept["secret"].removeprefix("whsec_"))
    content = f"{kept['webhook-id']}.{kept['webhook-timestamp']}.{kept['body']}".encode()
    mark = base64.b64encode(hmac.new(key, content, hashlib.sha256).digest()).decode()
    assert kept["webhook-signature"] == f"v1,{mark}"
    when = datetime.fromtimestamp(int(kept["webhook-timestamp"]), UTC)
    assert signed(kept["body"].encode(), kept["webhook-id"], when, [kept["secret"]])["webhook-signature"] == f"v1,{mark}"


def test_it_is_sent_again_under_the_same_id_until_the_receiver_is_up(running: Running) -> None:
    down = Receiver(503, 500, 204)
    made = _subscribe(running, down.url)
    running.ask(NICKEL)
    waits = []
    for _ in range(2):
        assert _send(running) == 1
        line = _deliveries(running, made["id"])[0]
        assert line["state"] == "waiting"
        waits.append((datetime.fromisoformat(line["next_at"]) - now()).total_seconds())
        assert _send(running) == 0  # not before its time
        _due_now(running)
    assert 1.5 < waits[0] <= 5 and 4 < waits[1] <= 10
    assert _send(running) == 1
    assert _deliveries(running, made["id"])[0]["attempts"] == 3
    assert len({headers["webhook-id"] for headers, _ in down.got}) == 1
    assert len({body for _, body in down.got}) == 1
    for headers, body in down.got:
        assert Webhook(made["secret"]).verify(body, headers)["type"] == "plan.held"
    down.close()
    running.ask(NICKEL)
    assert _send(running) == 1  # nobody listens at all
    line = _deliveries(running, made["id"])[0]
    assert (line["state"], line["answer"]) == ("waiting", "ConnectError")


def test_what_is_too_old_is_dead_and_shown(running: Running) -> None:
    broken = Receiver(500)
    made = _subscribe(running, broken.url)
    running.ask(NICKEL)
    with running.services.engine.begin() as connection:
        connection.execute(update(deliveries).values(at=stamp(now() - timedelta(hours=73))))
    assert _send(running) == 1
    dead = running.get(f"/v1/webhooks/{made['id']}/deliveries?state=dead").json()["deliveries"]
    assert [(line["state"], line["answer"]) for line in dead] == [("dead", "status 500")]
    _due_now(running)
    assert _send(running) == 0
    broken.close()


def test_a_receiver_that_is_gone_is_turned_off(running: Running) -> None:
    gone = Receiver(410)
    made = _subscribe(running, gone.url)
    running.ask(NICKEL)
    _send(running)
    assert running.get(f"/v1/webhooks/{made['id']}").json()["active"] is False
    running.ask(NICKEL)
    assert [line["state"] for line in _deliveries(running, made["id"])] == ["dead"]
    gone.close()


def test_a_redirect_is_not_followed(running: Running, receiver: Receiver) -> None:
    redirecting = Receiver(307, location=receiver.url)
    made = _subscribe(running, redirecting.url)
    running.ask(NICKEL)
    _send(running)
    assert receiver.got == []
    assert "redirect" in _deliveries(running, made["id"])[0]["answer"]
    redirecting.close()


def test_two_secrets_overlap(running: Running, receiver: Receiver) -> None:
    made = _subscribe(running, receiver.url)
    rotated = running.call("POST", f"/v1/webhooks/{made['id']}/secret", json={})
    assert rotated.status_code == 201
    assert shape_faults(rotated.json(), "NewSecret") == []
    assert (rotated.json()["secrets"], rotated.headers["cache-control"]) == (2, "no-store")
    running.ask(NICKEL)
    _send(running)
    headers, body = receiver.got[0]
    assert len(headers["webhook-signature"].split(" ")) == 2
    for secret in (made["secret"], rotated.json()["secret"]):
        assert Webhook(secret).verify(body, headers)["type"] == "plan.held"
    last = running.call("POST", f"/v1/webhooks/{made['id']}/secret", json={"overlap_hours": 0}).json()
    assert last["secrets"] == 1
    running.ask(NICKEL)
    _send(running)
    headers, body = receiver.got[1]
    assert Webhook(last["secret"]).verify(body, headers)
    with pytest.raises(WebhookVerificationError):
        Webhook(rotated.json()["secret"]).verify(body, headers)


def test_the_event_and_what_tells_of_it_are_one_transaction(running: Running, receiver: Receiver) -> None:
    made = _subscribe(running, receiver.url)
    running.ask(SALT)  # nobody is told of a plan that may be made
    running.ask(NICKEL)
    with running.services.engine.connect() as connection:
        rows = connection.execute(select(deliveries)).all()
        entries = {e.seq: e for e in log.entries(connection)}
    assert [(row.type, entries[row.seq].event, row.at) for row in rows] == [("plan.held", "plan.held", entries[rows[0].seq].at)]
    assert rows[0].message_id == f"msg_{rows[0].seq}_{entries[rows[0].seq].hash[:16]}"
    assert rows[0].webhook_id == made["id"]


def test_a_restart_keeps_the_outbox(start: StartApp, database: str, receiver: Receiver) -> None:
    first = start(database, webhook_sender=False, webhook_private=True)
    made = _subscribe(first, receiver.url)
    first.ask(NICKEL)
    again = start(database, webhook_private=True, webhook_poll=0.05)
    until = time.monotonic() + 10
    while not receiver.got and time.monotonic() < until:
        again.run(asyncio.sleep(0.05))
    headers, body = receiver.got[0]
    assert Webhook(made["secret"]).verify(body, headers)["type"] == "plan.held"


def test_two_senders_on_one_database_send_it_once(start: StartApp, database: str, receiver: Receiver) -> None:
    one = start(database, webhook_sender=False, webhook_private=True)
    two = start(database, webhook_sender=False, webhook_private=True)
    _subscribe(one, receiver.url)
    for _ in range(12):
        one.ask(NICKEL)
    here, there = _sender(one), _sender(two)

    async def both() -> None:
        await asyncio.gather(*(by.send_due() for _ in range(4) for by in (here, there)))

    one.run(both())
    assert len(receiver.got) == 12
    assert len({headers["webhook-id"] for headers, _ in receiver.got}) == 12


def test_a_sender_that_died_loses_its_lease(running: Running, receiver: Receiver) -> None:
    made = _subscribe(running, receiver.url)
    running.ask(NICKEL)
    outbox = running.services.outbox
    row = outbox.claim("dead", 16)[0]
    assert _send(running) == 0
    with running.services.engine.begin() as connection:
        connection.execute(update(deliveries).values(lease_until=stamp(now() - timedelta(seconds=1))))
    assert _send(running) == 1
    outbox.settle(row, "dead", "waiting", "too late", stamp(now()))  # it comes back: what was written down stands
    assert _deliveries(running, made["id"])[0]["state"] == "sent"
    assert LEASE.total_seconds() > 2 * ATTEMPT_S


def test_every_type_is_told(start: StartApp, database: str, receiver: Receiver) -> None:
    college = College(start(database, webhook_sender=False, webhook_private=True))
    made = college.as_("admin", "POST", "/v1/webhooks", json={"url": receiver.url, "types": list(TYPES)})
    assert made.status_code == 201
    decide = {"reason": "practical of year 12"}
    ids = [college.ask("requester", NICKEL).json()["id"] for _ in range(2)]
    for plan, decision in zip(ids, ("approve", "decline"), strict=True):
        sent = {**decide, "decision": decision}
        assert college.by_key("safety-officer", "POST", f"/v1/plans/{plan}/approval", json=sent).status_code == 200
    salt = college.ask("maker", SALT).json()["id"]
    record = college.by_key("maker", "POST", f"/v1/plans/{salt}/preparations", json=MADE).json()["id"]
    stop = {"by": "PK", "kind": "quarantine", "reason": "the wrong bottle"}
    assert college.by_key("maker", "POST", f"/v1/shelf/{record}/events", json=stop).status_code == 201
    bottle = {"by": "PK", "name": "sodium chloride", "amount": "500", "unit": "g", "place": "B2"}
    alone = college.by_key("maker", "POST", "/v1/shelf", json=bottle).json()["id"]
    assert college.by_key("maker", "POST", f"/v1/shelf/{alone}/events", json=stop).status_code == 201  # a bottle: not told
    policy = {"policy": {"keeping": {"retention_years": 9}}, "reason": "agreed"}
    n = college.by_key("safety-officer", "POST", "/v1/policies", json=policy).json()["n"]
    college.add("deputy", "safety-officer")
    confirm = {"decision": "confirm", "reason": "read"}
    assert college.as_("deputy", "POST", f"/v1/policies/{n}/decision", json=confirm).status_code == 200
    _send(college.running)
    told = sorted((t["type"], *t["data"].values()) for t in (orjson.loads(body) for _, body in receiver.got))
    assert told == sorted(
        [
            ("plan.held", ids[0], "held"), ("plan.held", ids[1], "held"), ("plan.approved", ids[0], "approved"),
            ("plan.declined", ids[1], "declined"), ("preparation.recorded", record, salt, "made"),
            ("preparation.quarantined", record, "quarantined"), ("policy.changed", n, "in force"),
        ]
    )  # fmt: skip
    assert max(len(body) for _, body in receiver.got) < 250
