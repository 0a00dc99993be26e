"""The shelf: what is left after each take, what must not be used, and a recall down the whole line."""

import asyncio
from typing import Any

import pytest

from service.api.contract_shelf import NEW, TAKEN
from tests.conftest import Running, StartApp
from tests.contract.shapes import shape_faults
from tests.records.bench import post, record

Document = dict[str, Any]


def _bottle(running: Running, status: int = 201, **changed: Any) -> Document:
    return post(running, "/v1/shelf", {**NEW, **changed}, status)


def _happen(running: Running, bottle: str, kind: str, status: int = 201, **more: Any) -> Document:
    if "amount" in more:
        more.setdefault("unit", "g")
    return post(running, f"/v1/shelf/{bottle}/events", {"by": "PK", "kind": kind, **more}, status)


def _get(running: Running, bottle: str) -> Document:
    found: Document = running.get(f"/v1/shelf/{bottle}").json()
    assert shape_faults(found, "Bottle") == []
    return found


def test_a_take_leaves_the_rest(start: StartApp, database: str) -> None:
    running = start(database)
    bottle = _bottle(running)["id"]
    assert post(running, f"/v1/shelf/{bottle}/events", TAKEN) == {"id": bottle, "event": "take", "reached": []}
    found = _get(running, bottle)
    assert (found["name"], found["left"]) == ("copper(II) sulfate pentahydrate", "475.03")  # 500 - 24.97
    _happen(running, bottle, "take", amount="475.03")
    assert _get(running, bottle)["state"] == "used up"
    assert "used up" in _happen(running, bottle, "take", 409, amount="0.01")["detail"]


def test_what_is_reserved_is_not_free(running: Running) -> None:
    bottle = _bottle(running, amount="240")["id"]
    _happen(running, bottle, "reserve", amount="60")
    number = _get(running, bottle)["history"][0]["number"]
    # 240 - 60 = 180 are free
    assert _happen(running, bottle, "take", 409, amount="240")["detail"] == (
        "180 g left and not reserved, 240 g needed."
    )
    _happen(running, bottle, "take", amount="240", reservation=number)  # by who reserved: 180 + 60
    assert _get(running, bottle)["left"] == "0"


def test_a_reservation_is_released_once(running: Running) -> None:
    bottle = _bottle(running)["id"]
    _happen(running, bottle, "reserve", amount="60")
    number = _get(running, bottle)["history"][0]["number"]
    _happen(running, bottle, "release", reservation=number)
    assert _get(running, bottle)["free"] == "500"
    _happen(running, bottle, "release", 422, reservation=number)


def test_takes_at_the_same_time_never_take_more_than_is_there(start: StartApp, database: str) -> None:
    running = start(database)
    bottle = _bottle(running, amount="100")["id"]
    body = {"by": "PK", "kind": "take", "amount": "30", "unit": "g"}

    async def together() -> list[int]:
        sent = [running.client.post(f"/v1/shelf/{bottle}/events", json=body) for _ in range(8)]
        return sorted(r.status_code for r in await asyncio.gather(*sent))

    assert running.run(together()) == [201] * 3 + [409] * 5  # 3 x 30 of 100; a fourth finds 10
    assert _get(running, bottle)["left"] == "10"


@pytest.mark.parametrize(
    ("changed", "pointer"),
    [
        ({"name": "copper sulfate"}, "/name"),
        ({"name": "unobtainium oxide"}, "/name"),
        ({"expiry": "2026-02-30"}, "/expiry"),
        ({"amount": "0"}, "/amount"),
        ({"preparation": "0000000000"}, ""),
        ({"form": "heptahydrate"}, "/form"),
        ({"name": "unobtainium", "form": "pure"}, "/name"),
    ],
)
def test_what_cannot_be_put_on_the_shelf(running: Running, changed: Document, pointer: str) -> None:
    assert _bottle(running, 422, **changed)["errors"][0]["pointer"] == pointer


def test_expired_and_withdrawn_are_not_taken_from(running: Running) -> None:
    old = _bottle(running, expiry="2020-01-01")["id"]
    assert _get(running, old)["state"] == "expired"
    assert "2020-01-01" in _happen(running, old, "take", 409, amount="1")["detail"]
    gone = _bottle(running)["id"]
    _happen(running, gone, "withdraw", 422)
    _happen(running, gone, "withdraw", reason="bottle cracked")
    assert _get(running, gone)["why"] == "bottle cracked"
    _happen(running, gone, "take", 409, amount="1")
    page = running.get("/v1/shelf?expiring_within_days=30").json()
    assert shape_faults(page, "ShelfPage") == []
    assert [b["id"] for b in page["bottles"]] == [old]


def test_a_mass_is_not_taken_as_a_volume(running: Running) -> None:
    assert _happen(running, _bottle(running)["id"], "take", 422, amount="1", unit="mL")["errors"][0]["allowed"] == ["g"]


def test_a_recall_reaches_stock_dilution_and_hand_out(start: StartApp, database: str) -> None:
    running = start(database)
    lot = _bottle(running, name="sodium hydroxide", lot="NA-210")["id"]
    stock = record(running, "1 L of 0.1 M sodium hydroxide", "4.05", lot="NA-210")["id"]
    other = record(running, "250 mL of 0.100 M sodium chloride", "1.4610", lot="NA-210")["id"]
    diluted = record(running, "dilute 0.1 M sodium hydroxide to 250 mL of 0.01 M", "25.00", unit="mL", source=stock)
    put_up = {"by": "PK", "preparation": diluted["id"], "amount": "250", "unit": "mL", "place": "shelf 4",
              "expiry": "2099-01-01"}  # fmt: skip
    bottle = post(running, "/v1/shelf", put_up)
    assert bottle["expiry"] == diluted["use_by"]["date"]  # no later than the record's
    _happen(running, bottle["id"], "hand-out", amount="50", unit="mL", to="Chemistry 2, room 14")
    below = running.get(f"/v1/shelf/{lot}/family").json()
    assert shape_faults(below, "Family") == []
    assert [r["id"] for r in below["below"]][:3] == [stock, diluted["id"], bottle["id"]]
    assert below["below"][3]["name"] == "Chemistry 2, room 14"

    done = _happen(running, lot, "quarantine", reason="supplier recalled the lot")
    assert shape_faults(done, "EventDone") == []
    assert [r["id"] for r in done["reached"]] == [r["id"] for r in below["below"]]
    assert other not in [r["id"] for r in done["reached"]]  # the same lot number on another substance
    assert _get(running, bottle["id"])["state"] == "quarantined"
    _happen(running, bottle["id"], "hand-out", 409, amount="50", unit="mL", to="Chemistry 2, room 14")
    record(running, "dilute 0.1 M sodium hydroxide to 250 mL of 0.01 M", "25.00", unit="mL", source=stock, status=409)
    assert running.get(f"/v1/preparations/{diluted['id']}/label").status_code == 409
    _happen(running, bottle["id"], "clear", reason="wrong lot number on the notice")
    assert _get(running, bottle["id"])["state"] == "in use"


def test_an_id_that_is_none(running: Running) -> None:
    assert running.get("/v1/shelf/0000000000").json()["type"] == "/problems/no-such-bottle"
    assert running.get("/v1/shelf/x/family").status_code == 404


def test_the_form_may_be_said_beside_the_name(running: Running) -> None:
    found = _bottle(running, name="vanadyl sulfate", form="variable")  # sold with water that is not counted
    assert (found["form"], found["name"]) == ("variable", "vanadyl sulfate hydrate (variable water)")
    assert _bottle(running, name="copper sulfate", form="pentahydrate")["name"] == "copper(II) sulfate pentahydrate"
