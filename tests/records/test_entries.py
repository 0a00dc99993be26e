"""Entries are only added: corrections, failures, the chain, the audit log; on every store."""

from typing import Any

import orjson
import pytest
from sqlalchemy import select

from service.audit import log
from service.store.tables import audit, preparation_uses, preparations
from tests.conftest import Running, StartApp
from tests.records.bench import get, plan, post, record

SALT = "250 mL of 0.100 M sodium chloride"


def _corrected(running: Running, made: dict[str, Any], reading: str, status: int = 201) -> dict[str, Any]:
    changed = {**made["recorded"], "used": [{**made["recorded"]["used"][0], "readings": [reading]}]}
    body = {"by": "PK", "reason": "digits swapped when typed", "record": changed}
    return post(running, f"/v1/preparations/{made['id']}/corrections", body, status)


def test_a_correction_keeps_what_was_first_written(start: StartApp, database: str) -> None:
    running = start(database)
    made = record(running, SALT, "1.4160")
    corrected = _corrected(running, made, "1.4610")
    assert corrected["entry"] == 2
    assert corrected["chain"][0]["concentration"] == made["made"]["concentration"]["display"]
    assert corrected["chain"][1]["changed"] == [{"field": "/used/0/readings/0", "was": "1.4160", "now": "1.4610"}]
    assert corrected["chain"][1]["why"] == "digits swapped when typed"
    assert corrected["made_at"] == made["at"]
    again = start(database)
    assert get(again, made["id"]) == corrected
    with again.services.engine.connect() as connection:
        kept = connection.execute(select(preparations.c.document).order_by(preparations.c.seq)).scalars().all()
    assert [orjson.loads(row)["recorded"]["used"][0]["readings"] for row in kept] == [["1.4160"], ["1.4610"]]


def test_a_correction_that_changes_nothing_is_none(running: Running) -> None:
    made = record(running, SALT, "1.4610")
    problem = _corrected(running, made, "1.4610", 422)
    assert problem["errors"][0]["pointer"] == "/record"


def test_record_and_audit_entry_are_written_together(start: StartApp, database: str) -> None:
    running = start(database)
    response = running.call(
        "POST",
        f"/v1/plans/{plan(running, SALT)}/preparations",
        json={"by": "PK", "used": [{"readings": ["1.4610"], "unit": "g", "lot": "4711"}]},
    )
    seq, _, digest = response.headers["prepwright-audit-head"].partition(":")
    with running.services.engine.connect() as connection:
        entry = connection.execute(select(audit).where(audit.c.seq == int(seq))).one()
        row = connection.execute(select(preparations).where(preparations.c.seq == int(seq))).one()
        use = connection.execute(select(preparation_uses)).one()
    assert (entry.event, entry.subject, entry.hash) == ("preparation.recorded", response.json()["id"], digest)
    assert (row.id, row.at) == (entry.subject, entry.at)
    assert (use.preparation_id, use.lot, use.source_id) == (entry.subject, "4711", None)
    assert log.verify(running.services.engine) is None


@pytest.mark.parametrize("outcome", ["overshot", "spilt", "not_dissolved", "other_failure"])
def test_a_failure_says_where_it_goes_and_how_to_begin_again(running: Running, outcome: str) -> None:
    failed = record(running, "250 mL of 0.02 M silver nitrate", "0.849", outcome=outcome)
    assert failed["status"] == "failed"
    assert failed["failed"]["discard"][0]["advice"]
    assert "new preparation" in failed["failed"]["restart"]
    assert "made" not in failed
    again = post(
        running,
        f"/v1/plans/{failed['plan']}/preparations",
        {"by": "PK", "used": [{"readings": ["0.8494"], "unit": "g"}]},
    )
    assert again["status"] == "made"
    lines = running.get("/v1/preparations").json()["preparations"]
    assert [line["status"] for line in lines] == ["made", "failed"]


def test_a_spill_may_be_recorded_before_anything_was_weighed(running: Running) -> None:
    path = f"/v1/plans/{plan(running, SALT)}/preparations"
    assert post(running, path, {"by": "PK", "outcome": "spilt", "used": []})["status"] == "failed"


def test_lists_are_paged_by_place(running: Running) -> None:
    ids = [record(running, SALT, f"1.46{n}0")["id"] for n in range(5)]
    page = running.get("/v1/preparations?limit=2").json()
    assert [line["id"] for line in page["preparations"]] == [ids[4], ids[3]]
    page = running.get(f"/v1/preparations?limit=9&after={page['next']}").json()
    assert [line["id"] for line in page["preparations"]] == [ids[2], ids[1], ids[0]]
    assert "next" not in page


@pytest.mark.parametrize(
    ("text", "slug"),
    [("500 mL of 0.1 M copper sulfate", "nothing-to-make"), ("mix bleach with hydrochloric acid", "nothing-to-make")],
)
def test_nothing_is_recorded_without_a_plan(running: Running, text: str, slug: str) -> None:
    reply = running.ask(text).json()
    body = {"by": "PK", "used": [{"readings": ["1"], "unit": "g"}]}
    assert post(running, f"/v1/plans/{reply['id']}/preparations", body, 409)["type"] == f"/problems/{slug}"


def test_a_held_plan_is_recorded_and_says_so(running: Running) -> None:
    made = record(running, "make 100 mL of 0.150 M nickel chloride from the hexahydrate", "3.5610")
    assert any("held" in one for one in made["cautions"])


def test_a_trial_says_what_the_record_would_and_stores_nothing(running: Running) -> None:
    """5.1040 g of phthalate in 250 mL: 1000 x 5.1040 / (204.222 x 250) is 0.09997 mol/L."""
    wanted = plan(running, "250 mL of 0.100 M potassium hydrogen phthalate")
    body = {"by": "PK", "used": [{"readings": ["5.1040"], "unit": "g", "lot": "4711"}]}
    tried = post(running, f"/v1/plans/{wanted}/trial", body, 200)
    assert tried["made"]["concentration"]["display"] == "0.09997 mol/L"
    assert running.get("/v1/preparations").json()["preparations"] == []
    stored = post(running, f"/v1/plans/{wanted}/preparations", body)
    assert {name: stored[name] for name in tried} == tried
    wrong = post(running, f"/v1/plans/{wanted}/trial", {"by": "PK", "used": [{"readings": ["x"], "unit": "g"}]}, 422)
    assert wrong["errors"][0]["pointer"] == "/used/0/readings/0"
    assert post(running, "/v1/plans/0000000000/trial", body, 404)["type"].endswith("no-such-plan")
