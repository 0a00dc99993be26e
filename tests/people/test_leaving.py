"""Somebody leaves: what is held of them can be handed over, their name goes, and the log stays whole."""

import json
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import MetaData, select

from clients.cli.main import run
from service.audit import log
from service.people.held_of import everything_of
from service.plans.archive import altered_plan
from tests.conftest import Running, StartApp
from tests.people.college import PASSWORD, College

SALT = "250 mL of 0.1 M sodium chloride"
NICKEL = "100 mL of 0.150 M nickel chloride hexahydrate"


def _whole_store(running: Running) -> str:
    """Every row of every table as text: nothing can hide in a table that nobody thought of."""
    tables = MetaData()
    with running.services.engine.connect() as connection:
        tables.reflect(connection)
        return "".join(str(connection.execute(select(table)).all()) for table in tables.sorted_tables)


def test_a_leavers_name_goes_from_every_table_and_the_chain_stays_whole(start: StartApp, database: str) -> None:
    college = College(start(database))
    running = college.running
    accounts = running.services.door.accounts
    officer = running.run(accounts.add("wilhelmina", ["safety-officer"], PASSWORD, "Wilhelmina Farthing"))
    plan = college.ask("requester", NICKEL).json()["id"]
    decision = {"decision": "approve", "reason": "fume cupboard"}
    approved = college.as_("wilhelmina", "POST", f"/v1/plans/{plan}/approval", json=decision)
    assert approved.json()["decisions"][0]["name"] == "Wilhelmina Farthing"
    key = running.run(accounts.add_key(officer, ["plan:read"], 30))
    entered = college.log_in("wilhelmina")
    before = running.get(f"/v1/plans/{plan}", headers={"Authorization": f"Bearer {college.keys['maker'].bearer}"}).json()
    with running.services.engine.connect() as connection:
        head = log.head(connection)

    running.run(accounts.erase(officer))
    running.services.door.forget()

    held = _whole_store(running).lower()
    assert "wilhelmina" not in held
    assert "farthing" not in held
    assert officer.lower() in held
    assert log.verify(running.services.engine, head) is None
    assert altered_plan(running.services.engine) is None
    after = college.by_key("maker", "GET", f"/v1/plans/{plan}").json()
    assert after["approval"]["decisions"][0]["by"] == officer
    assert after["approval"]["decisions"][0]["name"] == f"erased-{officer.lower()}"
    assert {**after, "approval": None} == {**before, "approval": None}
    # Nothing of it lets anybody in any more.
    assert college.log_in("wilhelmina").status_code == 401
    assert college.log_in(f"erased-{officer.lower()}").status_code == 401
    bare = {"Cookie": f"prepwright_session={entered.cookies['prepwright_session']}"}
    assert running.get("/v1/session", headers=bare).status_code == 401
    assert running.get("/v1/session", headers={"Authorization": f"Bearer {key.bearer}"}).status_code == 401
    # The name is free for somebody else, who is somebody else.
    assert running.run(accounts.add("wilhelmina", ["maker"], PASSWORD)) != officer


def test_what_is_held_of_one_person_is_all_of_it_and_only_theirs(start: StartApp, database: str) -> None:
    college = College(start(database))
    running = college.running
    mine = college.ask("requester", SALT).json()["id"]
    theirs = college.ask("maker", SALT).json()["id"]
    college.by_key("requester", "POST", f"/v1/plans/{mine}/withdrawal", json={"reason": "not needed"})
    college.log_in("requester")
    found = everything_of(running.services.engine, college.ids["requester"])
    said = json.dumps(found)
    assert [plan["id"] for plan in found["plans"]] == [mine]
    assert [w["plan_id"] for w in found["withdrawals"]] == [mine]
    assert (len(found["keys"]), len(found["sessions"])) == (1, 1)
    assert found["account"]["full_name"] == "The requester of Alder Vale"
    assert {"person.added", "plan.answered", "plan.withdrawn", "login.succeeded"} <= {e["event"] for e in found["log"]}
    assert theirs not in said
    assert college.keys["requester"].secret not in said
    assert "argon2" not in said


def _run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, Any]:
    code = run(words)
    return code, capsys.readouterr()


def test_erase_and_export_on_the_command_line(
    start: StartApp, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    url = f"sqlite:///{tmp_path / 'plans.sqlite3'}"
    monkeypatch.setenv("PREPWRIGHT_HEAD_FILE", str(tmp_path / "audit-head"))
    college = College(start(url))
    code, said = _run(capsys, "people", "export", "maker", "--db", url)
    assert (code, json.loads(said.out)["account"]["id"]) == (0, college.ids["maker"])
    code, said = _run(capsys, "people", "erase", "maker", "--db", url)
    assert code == 1
    assert "--yes" in said.err
    code, said = _run(capsys, "people", "erase", "maker", "--yes", "--db", url)
    assert code == 0
    assert college.ids["maker"] in said.out
    assert _run(capsys, "verify", "--db", url)[0] == 0
    code, said = _run(capsys, "people", "export", "maker", "--db", url)
    assert code == 1
    assert "no account called maker" in said.err
