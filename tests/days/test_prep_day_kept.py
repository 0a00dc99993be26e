"""A prep day as it is kept: its key, its pages, who sees it, the pick list, withdrawn plans and stocks."""


import pytest
from sqlalchemy import update

from service.days.archive import altered_day
from service.store.tables_days import days
from tests.conftest import Running, StartApp
from tests.contract.shapes import shape_faults
from tests.days.test_prep_day import DAY, made, post
from tests.people.college import College


def test_the_same_key_gives_the_same_day(start: StartApp, database: str) -> None:
    running = start(database)
    headers = {"Idempotency-Key": "week 3, Monday"}
    first = post(running, "1 L of 0.1 M sodium chloride", headers=headers)
    second = post(running, "1 L of 0.1 M sodium chloride", headers=headers)
    assert (second.status_code, second.content) == (201, first.content)
    assert second.headers["Idempotency-Replayed"] == "true"
    assert len(running.get("/v1/days").json()["days"]) == 1
    assert post(running, "2 L of 0.1 M sodium chloride", headers=headers).status_code == 422


def test_days_are_read_page_by_page(start: StartApp, database: str) -> None:
    running = start(database)
    ids = [made(running, "1 L of 0.1 M sodium chloride", on=f"2027-01-2{n}")["id"] for n in range(5)]
    found, after = [], ""
    for _ in range(3):
        page = running.get(f"/v1/days?limit=2{after}").json()
        assert shape_faults(page, "DayList") == []
        found += [line["id"] for line in page["days"]]
        after = f"&after={page.get('next')}"
    assert found == ids[::-1]
    assert "next" not in page


def test_who_sees_a_day_and_the_shelf(start: StartApp) -> None:
    college = College(start())
    bottle = {"by": "PK", "name": "sodium chloride", "amount": "500", "unit": "g", "place": "shelf A3"}
    assert college.by_key("maker", "POST", "/v1/shelf", json=bottle).status_code == 201
    body = {"date": DAY, "requests": [{"text": "1 L of 0.1 M sodium chloride"}]}
    day = college.by_key("requester", "POST", "/v1/days", json=body).json()["id"]
    own = college.by_key("requester", "GET", f"/v1/days/{day}").json()
    assert "places" not in own["pick_list"][0]
    seen = college.by_key("maker", "GET", f"/v1/days/{day}").json()
    assert seen["pick_list"][0]["places"][0]["place"] == "shelf A3"
    others = college.by_key("maker", "POST", "/v1/days", json=body).json()["id"]
    assert college.by_key("requester", "GET", f"/v1/days/{others}").status_code == 404
    assert college.by_key("requester", "GET", f"/v1/days/{others}/sheet").status_code == 404
    assert len(college.by_key("requester", "GET", "/v1/days").json()["days"]) == 1
    assert college.by_key("auditor", "POST", "/v1/days", json=body).status_code == 403


def test_the_pick_list_says_where_it_stands_and_what_is_short(running: Running) -> None:
    bottles: tuple[tuple[str, str, dict[str, str]], ...] = (
        ("10", "shelf B1", {}),
        ("3", "shelf A1", {"expiry": "2027-06-30"}),
        ("900", "shelf C1", {"expiry": "2020-01-01"}),
    )
    for amount, place, more in bottles:
        body = {"by": "PK", "name": "sodium chloride", "amount": amount, "unit": "g", "place": place, **more}
        assert running.call("POST", "/v1/shelf", json=body).status_code == 201
    day = made(running, "1 L of 1 M sodium chloride", "1 L of 0.1 M potassium chloride")
    lines = running.get(f"/v1/days/{day['id']}").json()["pick_list"]
    assert [p["place"] for p in lines[0]["places"]] == ["shelf A1", "shelf B1"]  # what is past its day is no place
    assert lines[0]["short"] == "13.00 g free, 58.44 g needed"
    assert "places" not in lines[1]


def test_a_plan_that_was_withdrawn_is_neither_fetched_nor_made(running: Running) -> None:
    day = made(running, "1 L of 1 M sodium chloride", "1 L of 0.1 M potassium chloride")
    gone = next(one for one in day["preparations"] if one["name"] == "sodium chloride")
    answer = running.call("POST", f"/v1/plans/{gone['plan']}/withdrawal", json={"reason": "wrong course"})
    assert answer.status_code < 300, answer.text
    now = running.get(f"/v1/days/{day['id']}").json()
    assert shape_faults(now, "PrepDay") == []
    assert [one["withdrawn"] for one in now["preparations"] if one["n"] == gone["n"]] == [True]
    assert [line["what"] for line in now["pick_list"]] == ["potassium chloride"]
    assert [task["preparation"] for task in now["order"]] == [n for n in (1, 2) if n != gone["n"]]


def test_what_was_to_be_taken_from_a_withdrawn_stock_says_so(running: Running) -> None:
    day = made(
        running, "1 L of 1 M hydrochloric acid from concentrated", "250 mL of 0.05 M hydrochloric acid from 1 M stock"
    )
    stock = day["preparations"][0]
    running.call("POST", f"/v1/plans/{stock['plan']}/withdrawal", json={"reason": "bottle is past its day"})
    now = running.get(f"/v1/days/{day['id']}").json()
    assert "was withdrawn" in now["preparations"][1]["cautions"][-1]
    assert [line.get("made_here") for line in now["pick_list"]] == [None]


def test_more_is_taken_of_a_stock_than_is_made(running: Running) -> None:
    day = made(
        running, "10 mL of 1 M hydrochloric acid from concentrated", "250 mL of 0.05 M hydrochloric acid from 1 M stock"
    )
    assert "12.50 mL of it goes into preparation 2, and only 10.00 mL is made" in day["preparations"][0]["cautions"][0]


def test_a_dilution_keeps_no_longer_than_its_stock(running: Running) -> None:
    day = made(
        running,
        "1 L of 0.1 M potassium permanganate",
        {"text": "250 mL of 0.01 M potassium permanganate from 0.1 M stock"},
    )
    stock, below = day["preparations"]
    assert below["use_by"] <= stock["use_by"]
    assert below["ready"] >= stock["ready"]


def test_a_day_that_was_changed_in_the_store_is_found(start: StartApp, database: str) -> None:
    running = start(database)
    day = made(running, "1 L of 0.1 M sodium chloride")["id"]
    assert altered_day(running.services.engine) is None
    with running.services.engine.begin() as connection:
        connection.execute(update(days).where(days.c.id == day).values(document=b'{"date":"2027-01-18"}'))
    assert altered_day(running.services.engine) == day


@pytest.mark.parametrize("typed", ["0000000000", "nothing"])
def test_a_day_that_is_not_there(running: Running, typed: str) -> None:
    for address in (f"/v1/days/{typed}", f"/v1/days/{typed}/sheet"):
        refused = running.get(address)
        assert (refused.status_code, refused.json()["type"]) == (404, "/problems/no-such-day")
