"""A record that names a bottle takes from it in the same write: what stands on it counts, and nothing is taken twice."""

import asyncio
from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import func, select

from service.audit import log
from service.people.clock import now
from service.store.tables import preparations
from service.store.tables_shelf import shelf_events
from tests.conftest import Running, StartApp
from tests.contract.shapes import shape_faults
from tests.records.bench import TITRATED, get, plan, post

Document = dict[str, Any]
SALT = "1 L of 0.5 M sodium chloride"  # 29.22 g
BLUE = "250 mL of 0.1 M copper sulfate pentahydrate"  # 6.242 g


def _bottle(running: Running, name: str = "sodium chloride", **changed: Any) -> str:
    body = {"by": "PK", "name": name, "amount": "500", "unit": "g", "place": "cabinet B2", "lot": "NC-0412", **changed}
    found: str = post(running, "/v1/shelf", {k: v for k, v in body.items() if v is not None})["id"]
    return found


def _used(bottle: str, *readings: str, unit: str = "g", **more: Any) -> Document:
    return {"by": "PK", "used": [{"readings": list(readings), "unit": unit, "bottle": bottle, **more}]}


def _record(running: Running, text: str, body: Document, status: int = 201) -> Document:
    return post(running, f"/v1/plans/{plan(running, text)}/preparations", body, status)


def _correct(running: Running, made: Document, record: Document, status: int = 201) -> Document:
    body = {"by": "PK", "reason": "digits swapped when typed", "record": record}
    return post(running, f"/v1/preparations/{made['id']}/corrections", body, status)


def _happen(running: Running, bottle: str, kind: str, **more: Any) -> None:
    unit = {"unit": "g"} if "amount" in more else {}
    post(running, f"/v1/shelf/{bottle}/events", {"by": "PK", "kind": kind, **unit, **more})


def _standing(running: Running, bottle: str) -> Document:
    found: Document = running.get(f"/v1/shelf/{bottle}").json()
    assert shape_faults(found, "Bottle") == []
    return found


def _written(running: Running) -> tuple[int, int]:
    with running.services.engine.connect() as connection:
        return (connection.execute(select(func.count()).select_from(preparations)).scalar_one(),
                connection.execute(select(func.count()).select_from(shelf_events)).scalar_one())  # fmt: skip


def test_record_and_take_are_one_write(start: StartApp, database: str) -> None:
    running = start(database)
    bottle = _bottle(running, assay_pct="99.5", expiry="2099-06-30")
    made = _record(running, SALT, _used(bottle, "20.00", "9.22"))
    assert shape_faults(made, "Preparation") == []
    # 20.00 + 9.22 = 29.22 g of 500 g
    assert made["from_shelf"] == [{"bottle": bottle, "name": "sodium chloride", "place": "cabinet B2", "taken": "29.22",
                                   "left": "470.78", "unit": "g"}]  # fmt: skip
    line = made["used"][0]
    assert (line["bottle"], line["lot"], line["assay_pct"]) == (bottle, "NC-0412", 99.5)
    # 29.22 g x 0.995 / 58.44 g/mol in 1 L
    assert made["made"]["concentration"]["value"] == pytest.approx(0.4975, rel=2e-4)
    assert "lot" not in made["recorded"]["used"][0]  # as it was sent
    again = start(database)
    assert get(again, made["id"]) == made
    history = _standing(again, bottle)["history"]
    assert [(e["kind"], e["amount"], e["preparation"], e["plan"]) for e in history] == [
        ("take", "29.22", made["id"], made["plan"])
    ]
    with again.services.engine.connect() as connection:
        recorded = connection.execute(select(preparations.c.at)).scalar_one()
        assert connection.execute(select(shelf_events.c.at)).scalar_one() == recorded  # of one transaction
    assert log.verify(again.services.engine) is None


def test_what_the_body_states_comes_before_the_bottle(running: Running) -> None:
    bottle = _bottle(running, assay_pct="99.5")
    made = _record(running, SALT, _used(bottle, "29.22", lot="NC-0500", assay={"value": "99.9"}))
    assert (made["used"][0]["lot"], made["used"][0]["assay_pct"]) == ("NC-0500", 99.9)


def test_what_must_not_be_used_stores_nothing(start: StartApp, database: str) -> None:
    running = start(database)
    old = _bottle(running, expiry="2020-01-01")
    held, gone, empty, low = _bottle(running), _bottle(running), _bottle(running, amount="5"), _bottle(running, amount="29")
    _happen(running, held, "quarantine", reason="supplier recalled the lot")
    _happen(running, gone, "withdraw", reason="bottle cracked")
    _happen(running, empty, "take", amount="5")
    before = _written(running)
    for bottle, said in ((old, "expired"), (held, "quarantined"), (gone, "withdrawn"), (empty, "used up")):
        problem = _record(running, SALT, _used(bottle, "29.22"), 409)
        assert problem["type"] == "/problems/bottle-not-usable"
        assert said in problem["detail"]
    problem = _record(running, SALT, _used(low, "29.22"), 409)
    assert problem["type"] == "/problems/not-enough-left"
    assert problem["detail"] == "29 g left and not reserved, 29.22 g needed."
    assert _record(running, SALT, _used("0000000000", "29.22"), 422)["errors"][0]["pointer"] == "/used/0/bottle"
    assert _written(running) == before


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("potassium chloride", SALT, "holds another substance"),
        ("anhydrous copper sulfate", BLUE, "holds another form"),
        ("sodium chloride", "dilute 1 M sodium chloride to 250 mL of 0.1 M", "is no solution"),
    ],
)
def test_a_bottle_of_something_else(running: Running, name: str, text: str, said: str) -> None:
    bottle = _bottle(running, name)
    unit = "mL" if text.startswith("dilute") else "g"
    problem = _record(running, text, _used(bottle, "25", unit=unit), 409)
    assert problem["type"] == "/problems/bottle-not-as-planned"
    assert said in problem["detail"]
    assert _standing(running, bottle)["left"] == "500"


def test_a_solution_of_another_strength(running: Running) -> None:
    def of(value: str, unit: str) -> str:
        return _bottle(running, strength={"value": value, "unit": unit}, unit="mL")

    text = "dilute 1 M sodium chloride to 250 mL of 0.1 M"
    problem = _record(running, text, _used(of("2", "mol/L"), "25.00", unit="mL"), 409)
    assert "holds 2 mol/L" in problem["detail"]
    # 58.44 g/L is 1 mol/L only to four figures, so it is another strength than the plan's
    assert "58.44 g/L" in _record(running, text, _used(of("58.44", "g/L"), "25.00", unit="mL"), 409)["detail"]
    assert _record(running, text, _used(of("1.0", "mol/L"), "25.00", unit="mL"))["from_shelf"][0]["left"] == "475.00"


def test_what_is_reserved_for_the_plan_is_for_its_record(start: StartApp, database: str) -> None:
    running = start(database)
    bottle = _bottle(running, amount="60")
    wanted = plan(running, SALT)
    _happen(running, bottle, "reserve", amount="30", plan=wanted.lower())
    _happen(running, bottle, "reserve", amount="20", plan=plan(running, BLUE))
    _record(running, SALT, _used(bottle, "29.22"), 409)  # another plan's record finds 10 g
    made = post(running, f"/v1/plans/{wanted}/preparations", _used(bottle, "29.22"))
    assert made["from_shelf"][0]["left"] == "30.78"
    assert _standing(running, bottle)["free"] == "10.78"  # 60 - 29.22 - 20


def test_a_correction_takes_or_gives_back_the_difference(start: StartApp, database: str) -> None:
    running = start(database)
    bottle = _bottle(running, amount="100")
    made = _record(running, SALT, _used(bottle, "92.22"))
    corrected = _correct(running, made, _used(bottle, "29.22"))
    assert (corrected["from_shelf"][0]["taken"], corrected["from_shelf"][0]["left"]) == ("29.22", "70.78")
    more = _correct(running, made, _used(bottle, "29.32"))
    assert more["from_shelf"][0]["left"] == "70.68"
    found = _standing(running, bottle)
    assert [(e["kind"], e["amount"]) for e in found["history"]] == [
        ("take", "92.22"), ("give-back", "63.00"), ("take", "0.10"),
    ]  # fmt: skip
    assert found["left"] == "70.68"
    before = _written(running)
    assert "70.68 g left" in _correct(running, made, _used(bottle, "129.32"), 409)["detail"]
    assert _written(running) == before


def test_a_correction_to_another_bottle(running: Running) -> None:
    first, other = _bottle(running), _bottle(running, lot="NC-0500")
    made = _record(running, SALT, _used(first, "29.22"))
    corrected = _correct(running, made, _used(other, "29.22"))
    assert [(t["bottle"], t["taken"], t["left"]) for t in corrected["from_shelf"]] == [
        (other, "29.22", "470.78"), (first, "0", "500.00"),
    ]  # fmt: skip
    assert corrected["used"][0]["lot"] == "NC-0500"
    assert running.get(f"/v1/shelf/{first}/family").json()["below"] == []
    assert [r["id"] for r in running.get(f"/v1/shelf/{other}/family").json()["below"]] == [made["id"]]


def test_a_correction_to_a_quarantined_bottle_needs_the_preparation_quarantined(running: Running) -> None:
    first, other = _bottle(running), _bottle(running, lot="NC-0500")
    made = _record(running, SALT, _used(first, "29.22"))
    _happen(running, other, "quarantine", reason="supplier recalled the lot")
    problem = _correct(running, made, _used(other, "29.22"), 409)
    assert problem["detail"].endswith(f"quarantine {made['id']} first, then correct its record.")
    _happen(running, made["id"], "quarantine", reason="made from the recalled lot")
    assert _correct(running, made, _used(other, "29.22"))["used"][0]["bottle"] == other


def test_lot_stock_and_dilution_follow_the_bottle(start: StartApp, database: str) -> None:
    running = start(database)
    alkali = _bottle(running, "sodium hydroxide", lot=None, expiry="2099-06-30")
    stock = _record(running, "1 L of 0.1 M sodium hydroxide", _used(alkali, "4.05"))
    put_up = {"by": "PK", "preparation": stock["id"], "amount": "1000", "unit": "mL", "place": "shelf 4",
              "expiry": stock["use_by"]["date"]}  # fmt: skip
    bottle = post(running, "/v1/shelf", put_up)
    assert bottle["substance"] == "sodium-hydroxide"
    listed = running.get("/v1/shelf?substance=sodium hydroxide").json()["bottles"]
    assert [b["id"] for b in listed] == [bottle["id"], alkali]
    diluted = _record(running, "dilute 0.1 M sodium hydroxide to 250 mL of 0.01 M", _used(bottle["id"], "25.00", unit="mL"))
    assert (diluted["used"][0]["source"], diluted["used"][0]["bottle"]) == (stock["id"], bottle["id"])
    assert diluted["from_shelf"][0]["left"] == "975.00"
    # a titration of the stock gives the dilution its value too: 0.1016 mol/L x 25 / 250
    post(running, f"/v1/preparations/{stock['id']}/standardisations", TITRATED)
    later = get(running, diluted["id"])
    assert later["made"]["concentration"]["value"] == pytest.approx(0.01016, rel=1e-3)
    assert later["from_shelf"] == diluted["from_shelf"]
    assert later["used"][0]["bottle"] == bottle["id"]
    assert get(running, stock["id"])["used"][0]["bottle"] == alkali
    below = [r["id"] for r in running.get(f"/v1/shelf/{alkali}/family").json()["below"]]
    assert below == [stock["id"], diluted["id"], bottle["id"]]
    _happen(running, alkali, "quarantine", reason="supplier recalled the lot")
    again = "dilute 0.1 M sodium hydroxide to 500 mL of 0.01 M"
    assert "quarantined" in _record(running, again, _used(bottle["id"], "50.00", unit="mL"), 409)["detail"]
    _happen(running, bottle["id"], "clear", reason="relabelled")
    assert stock["id"] in _record(running, again, _used(bottle["id"], "50.00", unit="mL"), 409)["detail"]


def test_a_solution_keeps_no_longer_than_its_bottle(running: Running) -> None:
    tomorrow = (now().date() + timedelta(days=1)).isoformat()
    bottle = _bottle(running, expiry=tomorrow)
    assert _record(running, SALT, _used(bottle, "29.22"))["use_by"] == {
        "date": tomorrow, "basis": f"no later than sodium chloride {bottle}, which it was made from",
    }  # fmt: skip


def test_a_volume_is_taken_from_a_bottle_kept_by_mass_through_its_density(running: Running) -> None:
    acid = _bottle(running, "hydrochloric acid", amount="1180", assay_pct="37.0", density_g_mL="1.18")
    made = _record(running, "1 L of 0.1 M hydrochloric acid", _used(acid, "8.3", unit="mL"))
    assert made["from_shelf"][0]["taken"] == "9.794"  # 8.3 mL x 1.18 g/mL
    plain = _bottle(running, amount="500", unit="mL")
    problem = _record(running, SALT, _used(plain, "29.22"), 422)
    assert problem["errors"][0]["pointer"] == "/used/0/density_g_mL"


def test_a_failed_preparation_takes_too(running: Running) -> None:
    bottle = _bottle(running)
    failed = _record(running, SALT, {**_used(bottle, "29.22"), "outcome": "spilt"})
    assert failed["status"] == "failed"
    assert _standing(running, bottle)["left"] == "470.78"


def test_records_at_the_same_time_never_take_more_than_is_there(start: StartApp, database: str) -> None:
    running = start(database)
    bottle = _bottle(running, amount="100")
    wanted = plan(running, SALT)

    async def together() -> list[int]:
        path = f"/v1/plans/{wanted}/preparations"
        sent = [running.client.post(path, json=_used(bottle, "29.22")) for _ in range(6)]
        return sorted(r.status_code for r in await asyncio.gather(*sent))

    assert running.run(together()) == [201] * 3 + [409] * 3  # 3 x 29.22 of 100 g
    assert _written(running) == (3, 3)
