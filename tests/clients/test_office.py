"""Accounts, keys and the check of the log, as the head of a prep room types them."""

import json
import sqlite3
from pathlib import Path

import pytest

from tests.clients.test_command_line import prepwright
from tests.conftest import StartApp

SALT = "250 mL of 0.1 M sodium chloride"
PASSWORD = "four quiet brown owls\n"


def test_accounts_and_keys_are_made_listed_and_taken_back(start: StartApp, tmp_path: Path) -> None:
    running = start()
    env = {"PREPWRIGHT_DATABASE": str(tmp_path / "plans.sqlite3"), "PREPWRIGHT_HEAD_FILE": str(tmp_path / "audit-head")}
    added = prepwright("people", "add", "j.hartley", "--role", "safety-officer", "--full-name", "Jo Hartley",
                       "--password-stdin", text=PASSWORD, **env)  # fmt: skip
    assert added.returncode == 0, added.stderr
    assert prepwright("people", "add", "timetable", "--role", "machine", **env).returncode == 0
    listed = prepwright("people", "list", **env).stdout.decode()
    assert "j.hartley" in listed
    assert "Jo Hartley" in listed
    assert "owls" not in listed
    made = prepwright("people", "key", "timetable", "--scope", "plan:write", **env).stdout.decode()
    bearer = made.splitlines()[0].rpartition(" ")[2]
    running.services.door.forget()
    assert running.ask(SALT).status_code == 401
    headers = {"Authorization": f"Bearer {bearer}"}
    assert running.call("POST", "/v1/plans", json={"text": SALT}, headers=headers).status_code == 200
    key = bearer.split("_")[1]
    assert prepwright("people", "key", "--withdraw", key, **env).returncode == 0
    running.services.door.forget()
    assert running.call("POST", "/v1/plans", json={"text": SALT}, headers=headers).status_code == 401
    assert prepwright("people", "close", "timetable", **env).returncode == 0
    assert "closed" in prepwright("people", "list", **env).stdout.decode()
    assert prepwright("verify", **env).stdout.startswith(b"The log is whole")


@pytest.mark.parametrize(
    "arguments",
    [
        ["people", "add", "a", "--role", "maker", "--password-stdin"],
        ["people", "add", "sam", "--role", "maker", "--password-stdin"],
        ["people", "add", "sam", "--role", "maker"],
        ["people", "key", "nobody", "--scope", "plan:read"],
        ["people", "key", "nobody"],
        ["people", "key", "--withdraw", "AAAAAAAAAA"],
        ["people", "close", "nobody"],
        ["verify", "--export", "/nowhere/at/all.jsonl"],
        ["serve", "--host", "0.0.0.0", "--open-to-network", "--port", "0"],
    ],
)
def test_what_cannot_be_done_is_said_in_words(tmp_path: Path, arguments: list[str]) -> None:
    env = {"PREPWRIGHT_DATABASE": str(tmp_path / "x.sqlite3"), "PREPWRIGHT_HEAD_FILE": str(tmp_path / "head")}
    done = prepwright(*arguments, text="short\n", **env)
    assert done.returncode == 1
    assert done.stderr.startswith(b"prepwright: ")
    assert b"fault in the program" not in done.stderr


def test_the_log_is_checked_in_the_database_and_on_an_export_without_it(start: StartApp, tmp_path: Path) -> None:
    running = start()
    for _ in range(5):
        running.ask(SALT)
    export = tmp_path / "log.jsonl"
    export.write_bytes(running.get("/v1/audit/export").content)
    head, env = str(tmp_path / "audit-head"), {"PREPWRIGHT_DATABASE": str(tmp_path / "plans.sqlite3")}
    env["PREPWRIGHT_HEAD_FILE"] = head
    assert prepwright("verify", **env).stdout == b"The log is whole: 5 entries.\n"
    assert prepwright("verify", "--export", str(export), "--head", head).returncode == 0

    lines = export.read_text().splitlines(keepends=True)
    export.write_text("".join(lines[:3]))
    assert prepwright("verify", "--export", str(export)).returncode == 0
    cut = prepwright("verify", "--export", str(export), "--head", head)
    assert (cut.returncode, b"First bad entry: 4 (cut)" in cut.stderr) == (1, True)

    changed = json.loads(lines[1])
    changed["actor"] = "somebody else"
    export.write_text("".join([lines[0], json.dumps(changed) + "\n", *lines[2:]]))
    altered = prepwright("verify", "--export", str(export), "--head", head)
    assert (altered.returncode, b"First bad entry: 2 (altered)" in altered.stderr) == (1, True)

    with sqlite3.connect(tmp_path / "plans.sqlite3") as database:
        database.execute("update plans set outcome = 'refused' where seq = 4")
    database.close()
    assert b"is not the one that was logged" in prepwright("verify", **env).stderr


def test_a_clock_that_ran_backwards_is_named_on_an_export(tmp_path: Path) -> None:
    from service.audit.chain import EMPTY, Event, Head, link
    from service.audit.lines import json_line

    first = link(EMPTY, "2027-01-11T08:15:00.000000Z", [Event("a", "e", "1", b"{}")])
    second = link(Head(1, first[0].hash), "2027-01-11T07:15:00.000000Z", [Event("a", "e", "2", b"{}")])
    export = tmp_path / "log.jsonl"
    export.write_bytes(b"".join(json_line(entry) for entry in first + second))
    done = prepwright("verify", "--export", str(export))
    assert (done.returncode, b"First bad entry: 2 (clock)" in done.stderr) == (1, True)
