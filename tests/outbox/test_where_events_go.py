"""Where events may be sent: addresses that are checked, receivers that do not answer, pauses between attempts."""

import asyncio
import time
from typing import Any

import pytest
from sqlalchemy import select

from service.audit import log
from service.outbox import address, sender
from service.outbox.address import AddressError, checked, resolve
from service.outbox.sender import pause
from service.store.tables_outbox import webhook_secrets
from tests.conftest import Running, StartApp
from tests.contract.shapes import shape_faults
from tests.outbox.receiver import Receiver
from tests.outbox.test_events_sent import NICKEL, _deliveries, _send, _subscribe


def test_only_the_types_asked_for_are_told(running: Running, receiver: Receiver) -> None:
    _subscribe(running, receiver.url, "policy.changed")
    running.ask(NICKEL)
    assert _send(running) == 0


def test_a_subscription_that_is_off_is_told_nothing(running: Running, receiver: Receiver) -> None:
    made = _subscribe(running, receiver.url)
    running.ask(NICKEL)
    off = running.call("POST", f"/v1/webhooks/{made['id']}/active", json={"active": False})
    assert (off.status_code, off.json()["active"], shape_faults(off.json(), "Subscription")) == (200, False, [])
    assert [line["state"] for line in _deliveries(running, made["id"])] == ["dropped"]
    running.ask(NICKEL)
    running.call("POST", f"/v1/webhooks/{made['id']}/active", json={"active": True})
    assert _send(running) == 0
    running.ask(NICKEL)
    assert _send(running) == 1


def test_secrets_stay_out_of_lists_and_of_the_log(running: Running, receiver: Receiver) -> None:
    made = _subscribe(running, f"{receiver.url}?token=quiet-owl")
    secret = made["secret"].removeprefix("whsec_")
    listed = running.get("/v1/webhooks")
    assert shape_faults(listed.json(), "SubscriptionList") == []
    assert secret not in listed.text
    with running.services.engine.connect() as connection:
        logged = b" ".join(e.body for e in log.entries(connection))
        kept = connection.execute(select(webhook_secrets.c.secret)).scalar_one()
    assert kept == made["secret"]
    assert secret.encode() not in logged and b"quiet-owl" not in logged
    assert running.get("/v1/webhooks/0000000000").json()["type"] == "/problems/no-such-webhook"



@pytest.mark.parametrize(
    "url",
    [
        "http://hooks.example/x", "ftp://hooks.example/x", "https://", "https:///x", "hooks.example/x", "https://a:b@hooks.example/",
        "https://hooks.example/#x", "https://hooks.example:99999/", "https://hooks.example:0/", "https://hooks.example/a b",
        "https://hooks.example\\@127.0.0.1/", "http://127.0.0.1.hooks.example/", "https://hööks.example/",
        "https://hooks.example/" + "x" * 600,     "https://hooks.example/\r\nx: y",
    ],
)  # fmt: skip
def test_what_is_no_address_to_subscribe_with(running: Running, url: str) -> None:
    answer = running.call("POST", "/v1/webhooks", json={"url": url, "types": ["plan.held"]})
    assert (answer.status_code, answer.json()["errors"][0]["pointer"]) == (422, "/url")


# RFC 6890 (special-purpose addresses): this network, private, shared, loopback, link-local, documentation, benchmarking,
# multicast and reserved; in IPv6 the same, and IPv4 inside IPv6 (RFC 4291, 2.5.5.2; RFC 6052; RFC 3056).
INSIDE = [
    "0.0.0.0", "10.0.0.1", "100.64.0.1", "127.0.0.1", "169.254.169.254", "172.16.0.1", "192.0.2.1", "192.168.1.1", "198.18.0.1",
    "224.0.0.1", "255.255.255.255", "::", "::1", "::ffff:10.0.0.1", "fe80::1", "fc00::1", "ff02::1", "64:ff9b::a00:1",
    "2002:a00:1::", "2001:db8::1",
]  # fmt: skip


@pytest.mark.parametrize("inside", INSIDE)
def test_nothing_is_sent_inside_the_network(monkeypatch: pytest.MonkeyPatch, inside: str) -> None:
    """However the name is written, what it points to is looked at; one address inside is enough to refuse."""

    async def looked_up(_self: Any, _host: str, port: int, **_: Any) -> list[Any]:
        return [(0, 0, 0, "", (place, port)) for place in ("93.184.216.34", inside)]

    monkeypatch.setattr(asyncio.base_events.BaseEventLoop, "getaddrinfo", looked_up)
    with pytest.raises(AddressError, match="inside the network"):
        asyncio.run(resolve("https://hooks.example/x", private=False))


def test_the_connection_goes_to_the_address_that_was_checked(monkeypatch: pytest.MonkeyPatch) -> None:
    async def looked_up(_self: Any, _host: str, port: int, **_: Any) -> list[Any]:
        return [(0, 0, 0, "", ("93.184.216.34", port))]

    monkeypatch.setattr(asyncio.base_events.BaseEventLoop, "getaddrinfo", looked_up)
    target = asyncio.run(resolve("https://hooks.example/x?y=1", private=False))
    assert (target.url, target.host, target.host_header) == ("https://93.184.216.34:443/x?y=1", "hooks.example", "hooks.example")


def test_without_the_setting_nothing_goes_to_this_machine(start: StartApp, database: str, receiver: Receiver) -> None:
    running = start(database, webhook_sender=False)
    made = _subscribe(running, receiver.url)
    running.ask(NICKEL)
    _send(running)
    assert receiver.got == []
    assert "inside the network" in _deliveries(running, made["id"])[0]["answer"]
    assert checked("https://hooks.example/x").hostname == "hooks.example"
    assert address.LONGEST_URL == 500


def test_a_receiver_that_never_answers_is_given_up(running: Running, monkeypatch: pytest.MonkeyPatch) -> None:
    import socket

    monkeypatch.setattr(sender, "ATTEMPT_S", 0.3)
    with socket.create_server(("127.0.0.1", 0)) as silent:
        made = _subscribe(running, f"http://127.0.0.1:{silent.getsockname()[1]}/")
        running.ask(NICKEL)
        begun = time.monotonic()
        _send(running)
        assert time.monotonic() - begun < 5
    assert _deliveries(running, made["id"])[0]["state"] == "waiting"


def test_pauses_double_up_to_an_hour_and_differ() -> None:
    for attempts, longest in ((1, 5), (2, 10), (5, 80), (11, 3600), (500, 3600)):
        found = [pause(attempts) for _ in range(200)]
        assert longest / 2 <= min(found) and max(found) <= longest
        assert len(set(found)) > 100
