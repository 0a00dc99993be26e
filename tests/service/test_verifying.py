"""GET /v1/audit/verification: whole, or the first bad entry, while the service goes on answering."""

import asyncio
import sqlite3
from pathlib import Path
from typing import Any

import pytest

from service.audit import log, verifying
from service.audit.chain import Event
from service.store.engine import writing
from tests.conftest import Running, StartApp
from tests.contract.shapes import shape_faults
from tests.people.college import College
from tests.people.conftest import _quick_hashes

__all__ = ["_quick_hashes"]
SALT = "250 mL of 0.1 M sodium chloride"


def _verified(running: Running) -> dict[str, Any]:
    response = running.get("/v1/audit/verification")
    assert response.status_code == 200, response.text
    found: dict[str, Any] = response.json()
    assert shape_faults(found, "AuditVerification") == []
    return found


def _change(tmp_path: Path, *statements: str) -> None:
    with sqlite3.connect(tmp_path / "plans.sqlite3") as database:
        for statement in statements:
            database.execute(statement)
    database.close()


def test_a_whole_log_is_whole_up_to_its_newest_entry(start: StartApp, database: str) -> None:
    running = start(database)
    heads = [running.ask(SALT).headers["Prepwright-Audit-Head"] for _ in range(4)]
    seq, _, digest = heads[-1].partition(":")
    assert _verified(running) == {"whole": True, "checked": {"seq": int(seq), "hash": digest}}


@pytest.mark.parametrize("part", [1, 2, 3, 500])
@pytest.mark.parametrize(
    ("statement", "seq", "code"),
    [
        ("update audit set actor = 'nobody' where seq = 4", 4, "altered"),
        ("delete from audit where seq = 3", 3, "missing"),
        ("delete from audit where seq >= 5", 5, "cut"),
        ("update plans set text = '1 L of water' where seq = 2", 2, "plan"),
        ("delete from plans where seq = 6", 6, "plan"),
    ],
)
def test_the_first_bad_entry_is_named_whatever_the_parts(
    start: StartApp, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, statement: str, seq: int, code: str, part: int
) -> None:
    running = start()
    for _ in range(6):
        running.ask(SALT)
    monkeypatch.setattr(verifying.verify_in_parts, "__defaults__", (part,))
    assert _verified(running)["whole"] is True
    _change(tmp_path, statement)
    found = _verified(running)
    assert found["whole"] is False
    assert (found["broken"]["seq"], found["broken"]["code"]) == (seq, code)


def test_a_tail_that_only_the_head_file_knows_and_a_head_file_that_is_none(start: StartApp, tmp_path: Path) -> None:
    running = start()
    for _ in range(6):
        running.ask(SALT)
    _change(
        tmp_path,
        "delete from plans where seq >= 5",
        "delete from audit where seq >= 5",
        "update audit_head set seq = 4, hash = (select hash from audit where seq = 4)",
    )
    assert _verified(running)["broken"]["code"] == "cut"
    (tmp_path / "audit-head").write_text("no head at all")
    assert _verified(running)["broken"]["seq"] == 0


def test_other_requests_are_answered_while_a_long_log_is_checked(running: Running) -> None:
    with writing(running.services.engine.connect()) as connection, connection.begin():
        events = [Event("local", "test.entry", f"P{n}", b'{"n":%d}' % n) for n in range(20_000)]
        log.append(connection, log.lock_head(connection), "2027-01-11T08:15:00.000000Z", events)

    async def both() -> int:
        checking = asyncio.create_task(running.client.get("/v1/audit/verification"))
        answered = 0
        while not checking.done():
            assert (await running.client.get("/v1/health/live")).status_code == 200
            await asyncio.sleep(0)
            answered += 1
        assert checking.result().json()["checked"]["seq"] == 20_000
        return answered

    assert running.run(both()) >= 5


def test_only_those_who_may_read_the_log_verify_it(running: Running) -> None:
    college = College(running)
    for role in ("auditor", "safety-officer", "head-technician"):
        assert college.by_key(role, "GET", "/v1/audit/verification").status_code == 200
    for role in ("requester", "maker", "admin", "learner"):
        assert college.by_key(role, "GET", "/v1/audit/verification").status_code == 403
