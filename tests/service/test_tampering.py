"""A log or a plan that somebody changed in the database file is found out."""

import sqlite3
from pathlib import Path

import pytest

from service.audit import log
from service.audit.head_file import parse
from service.plans.archive import altered_plan
from service.store.engine import open_engine
from tests.conftest import StartApp

SALT = "250 mL of 0.1 M sodium chloride"


def _filled(start: StartApp, count: int = 6) -> list[str]:
    running = start()
    ids = [running.ask(SALT).json()["id"] for _ in range(count)]
    assert altered_plan(running.services.engine) is None
    return ids


def _change(tmp_path: Path, *statements: str) -> None:
    with sqlite3.connect(tmp_path / "plans.sqlite3") as database:
        for statement in statements:
            database.execute(statement)
    database.close()


@pytest.mark.parametrize(
    ("statement", "seq", "code"),
    [
        ("update audit set actor = 'nobody' where seq = 4", 4, "altered"),
        ("update audit set body = x'7b7d' where seq = 2", 2, "altered"),
        ("update audit set at = '2001-01-01T00:00:00.000000Z' where seq = 3", 3, "altered"),
        ("update audit set hash = prev_hash where seq = 5", 5, "altered"),
        ("delete from audit where seq = 3", 3, "missing"),
        ("delete from audit where seq >= 5", 5, "cut"),
    ],
)
def test_the_first_bad_entry_is_named(start: StartApp, tmp_path: Path, statement: str, seq: int, code: str) -> None:
    _filled(start)
    _change(tmp_path, statement)
    broken = log.verify(open_engine(f"sqlite:///{tmp_path / 'plans.sqlite3'}", 5.0))
    assert broken is not None
    assert (broken.seq, broken.code) == (seq, code)
    assert str(seq) in broken.message


def test_a_tail_cut_together_with_the_head_is_seen_by_the_head_file(start: StartApp, tmp_path: Path) -> None:
    _filled(start)
    _change(
        tmp_path,
        "delete from plans where seq >= 5",
        "delete from audit where seq >= 5",
        "update audit_head set seq = 4, hash = (select hash from audit where seq = 4)",
    )
    engine = open_engine(f"sqlite:///{tmp_path / 'plans.sqlite3'}", 5.0)
    assert log.verify(engine) is None
    broken = log.verify(engine, parse((tmp_path / "audit-head").read_bytes()))
    assert broken is not None
    assert (broken.seq, broken.code) == (5, "cut")
    again = start()
    assert again.get("/v1/health").json()["audit_head_agreed_at_start"] is False
    assert parse((tmp_path / "audit-head.disagrees").read_bytes()).seq == 6
    with again.services.engine.connect() as connection:
        assert [entry.event for entry in log.entries(connection)][-1] == "audit.head_disagrees"


def test_a_restart_on_a_whole_log_agrees(start: StartApp) -> None:
    _filled(start)
    assert start().get("/v1/health").json()["audit_head_agreed_at_start"] is True


@pytest.mark.parametrize(
    "statement",
    [
        "update plans set document = replace(document, '1.4', '2.4') where id = '{id}'",
        "update plans set text = 'something else' where id = '{id}'",
        "update plans set outcome = 'refused' where id = '{id}'",
        "delete from plans where id = '{id}'",
    ],
)
def test_a_plan_that_no_longer_matches_its_entry_is_named(start: StartApp, tmp_path: Path, statement: str) -> None:
    ids = _filled(start)
    _change(tmp_path, statement.format(id=ids[2]))
    engine = open_engine(f"sqlite:///{tmp_path / 'plans.sqlite3'}", 5.0)
    assert log.verify(engine) is None
    assert altered_plan(engine) == ids[2]
