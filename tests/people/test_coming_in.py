"""Passwords, sessions, keys and tokens: who comes in, who does not, and what the log says of it."""

import json
import time
from typing import Any

import pytest
from sqlalchemy import select, text

from service.audit import log
from service.people import secrets
from service.people.accounts import AccountError
from service.store.tables_people import api_keys, people, sessions
from tests.conftest import StartApp
from tests.people.college import PASSWORD, College

SALT = "250 mL of 0.1 M sodium chloride"


@pytest.fixture
def college(start: StartApp, database: str) -> College:
    return College(start(database))


def _slug(response: Any) -> tuple[int, str]:
    return response.status_code, response.json()["type"].removeprefix("/problems/")


def test_without_accounts_the_service_says_that_there_is_no_login(start: StartApp) -> None:
    running = start()
    assert running.get("/v1/health").json()["login"] == "none: single user, on this machine only"
    assert running.get("/v1/session").json()["via"] == "local"
    assert running.ask(SALT).status_code == 200


@pytest.mark.parametrize("header", ["X-Forwarded-For", "Forwarded", "X-Real-IP"])
def test_without_accounts_nobody_from_elsewhere_is_answered(start: StartApp, header: str) -> None:
    running = start()
    assert _slug(running.get("/v1/plans", headers={header: "192.0.2.7"})) == (403, "only-this-machine")
    running.client._transport.client = ("192.0.2.7", 40000)  # type: ignore[attr-defined]
    assert _slug(running.get("/v1/plans")) == (403, "only-this-machine")
    assert _slug(running.ask(SALT)) == (403, "only-this-machine")
    assert running.get("/v1/health").status_code == 200


def test_with_accounts_nobody_comes_in_without_one(college: College) -> None:
    running = college.running
    assert running.get("/v1/health").json()["login"].startswith("accounts")
    assert _slug(running.get("/v1/plans")) == (401, "login-needed")
    assert _slug(running.ask(SALT)) == (401, "login-needed")
    assert running.get("/v1/plans").headers["www-authenticate"] == "Bearer"
    assert _slug(running.get("/v1/plans", headers={"Authorization": "Bearer pw_AAAAAAAAAA_x"})) == (401, "wrong-login")
    assert _slug(running.get("/v1/plans", headers={"Authorization": "Bearer a.b.c"})) == (401, "wrong-login")
    assert _slug(running.get("/v1/plans", headers={"Cookie": "prepwright_session=x"})) == (401, "wrong-login")


def test_a_session_is_a_cookie_scripts_cannot_read_and_changes_need_its_token(college: College) -> None:
    entered = college.log_in("maker")
    cookie = entered.headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=strict" in cookie
    token = entered.cookies["prepwright_session"]
    bare = {"Cookie": f"prepwright_session={token}"}
    running = college.running
    assert running.get("/v1/plans", headers=bare).status_code == 200
    ask = {"json": {"text": SALT}}
    assert _slug(running.call("POST", "/v1/plans", headers=bare, **ask)) == (403, "cross-site")
    wrong = {**bare, "X-CSRF-Token": "0" * 32}
    assert _slug(running.call("POST", "/v1/plans", headers=wrong, **ask)) == (403, "cross-site")
    right = {**bare, "X-CSRF-Token": entered.json()["csrf_token"]}
    assert running.call("POST", "/v1/plans", headers=right, **ask).status_code == 200
    elsewhere = {**right, "Origin": "https://elsewhere.example"}
    assert _slug(running.call("POST", "/v1/plans", headers=elsewhere, **ask)) == (403, "cross-site")
    assert running.call("DELETE", "/v1/session", headers=right).status_code == 200
    assert _slug(running.get("/v1/plans", headers=bare)) == (401, "login-expired")


def test_a_login_sent_by_a_page_of_another_site_is_turned_away(college: College) -> None:
    sent = {"name": "maker", "password": PASSWORD}
    response = college.running.call("POST", "/v1/session", json=sent, headers={"Sec-Fetch-Site": "cross-site"})
    assert _slug(response) == (403, "cross-site")


def test_an_expired_session_and_a_closed_account_are_out(college: College) -> None:
    running = college.running
    entered = college.log_in("maker")
    bare = {"Cookie": f"prepwright_session={entered.cookies['prepwright_session']}"}
    with running.services.engine.begin() as connection:
        connection.execute(text("update sessions set expires = '2020-01-01T00:00:00.000000Z'"))
    assert _slug(running.get("/v1/plans", headers=bare)) == (401, "login-expired")
    running.run(running.services.door.accounts.close(college.ids["auditor"]))
    assert _slug(college.log_in("auditor")) == (401, "wrong-login")
    assert _slug(college.by_key("auditor", "GET", "/v1/plans")) == (401, "login-expired")


def test_wrong_passwords_lock_the_account_and_are_logged(start: StartApp, database: str) -> None:
    college = College(start(database, wrong_passwords=3, lock_seconds=60.0, logins_a_minute=100))
    for _ in range(3):
        assert _slug(college.log_in("maker", "not the password")) == (401, "wrong-login")
    locked = college.log_in("maker")
    assert _slug(locked) == (429, "too-many-requests")
    assert locked.headers["retry-after"] == "60"
    assert college.log_in("auditor").status_code == 200
    with college.running.services.engine.connect() as connection:
        events = [(e.event, e.subject) for e in log.entries(connection) if e.event.startswith("login")]
    mine = college.ids["maker"]
    assert events == [
        ("login.failed", mine), ("login.failed", mine), ("login.locked", mine),
        ("login.succeeded", college.ids["auditor"]),
    ]  # fmt: skip


def test_logins_and_calls_are_counted(start: StartApp, database: str) -> None:
    college = College(start(database, logins_a_minute=4, calls_a_minute=5))
    answers = [college.log_in("nobody here", "not the password").status_code for _ in range(6)]
    assert answers == [401, 401, 401, 401, 429, 429]
    answers = [college.by_key("maker", "GET", "/v1/session").status_code for _ in range(7)]
    assert answers == [200] * 5 + [429] * 2
    assert college.by_key("auditor", "GET", "/v1/session").status_code == 200


def test_secrets_are_kept_as_hashes_and_names_stay_out_of_the_log(college: College) -> None:
    college.log_in("maker")
    key = college.keys["machine"]
    with college.running.services.engine.connect() as connection:
        kept = str(connection.execute(select(people)).all() + connection.execute(select(api_keys)).all())
        kept += str(connection.execute(select(sessions)).all())
        logged = b" ".join(e.body + e.subject.encode() + e.actor.encode() for e in log.entries(connection))
    assert PASSWORD not in kept
    assert "$argon2id$" in kept
    assert key.secret not in kept
    assert b"Alder Vale" not in logged
    assert college.ids["maker"].encode() in logged


def test_a_key_ends_with_its_time_and_when_it_is_withdrawn(college: College) -> None:
    running = college.running
    accounts = running.services.door.accounts
    assert college.by_key("machine", "GET", "/v1/plans").status_code == 200
    assert running.run(accounts.withdraw_key(college.keys["machine"].id))
    assert not running.run(accounts.withdraw_key("AAAAAAAAAA"))
    running.services.door.forget()
    assert _slug(college.by_key("machine", "GET", "/v1/plans")) == (401, "login-expired")
    with running.services.engine.begin() as connection:
        connection.execute(text("update api_keys set expires = '2020-01-01T00:00:00.000000Z', withdrawn = 0"))
    running.services.door.forget()
    assert _slug(college.by_key("machine", "GET", "/v1/plans")) == (401, "login-expired")


def test_a_persons_key_does_no_more_than_the_person(college: College) -> None:
    rights = college.by_key("requester", "GET", "/v1/session").json()["rights"]
    assert rights == ["plan:read", "plan:write"]  # though the key was given every scope
    assert "approve" in college.by_key("safety-officer", "GET", "/v1/session").json()["rights"]


def _token(college: College, **form: str) -> Any:
    key = college.keys["machine"]
    sent = {"grant_type": "client_credentials", "client_id": key.id, "client_secret": key.secret, **form}
    return college.running.call("POST", "/v1/token", data=sent)


def test_a_machine_gets_a_token_with_the_scopes_it_asks_for(college: College) -> None:
    given = _token(college, scope="plan:write").json()
    assert (given["token_type"], given["scope"], given["expires_in"]) == ("Bearer", "plan:write", 900)
    headers = {"Authorization": f"Bearer {given['access_token']}"}
    running = college.running
    made = running.call("POST", "/v1/plans", headers=headers, json={"text": SALT})
    assert made.status_code == 200
    assert _slug(running.get("/v1/plans", headers=headers)) == (403, "not-allowed")
    with running.services.engine.connect() as connection:
        assert list(log.entries(connection))[-1].actor == college.ids["machine"]
    assert _token(college).json()["scope"] == "plan:read plan:write"
    assert _slug(_token(college, scope="approve")) == (403, "not-allowed")
    assert _slug(_token(college, client_secret="wrong")) == (401, "wrong-login")
    assert _slug(_token(college, grant_type="password")) == (422, "invalid-request")
    key = college.keys["machine"]
    basic = running.call("POST", "/v1/token", data={"grant_type": "client_credentials"}, auth=(key.id, key.secret))
    assert basic.status_code == 200


def test_tokens_that_expired_or_were_forged_or_lost_their_key_are_refused(college: College) -> None:
    running = college.running
    _token(college)
    signing = running.services.door.accounts.signing_key()
    assert signing is not None
    key = college.keys["machine"].id

    def use(token: str) -> tuple[int, str]:
        return _slug(running.get("/v1/plans", headers={"Authorization": f"Bearer {token}"}))

    assert use(secrets.sign(key, "plan:read", signing, -1)) == (401, "login-expired")
    assert use(secrets.sign(key, "plan:read", ("k", b"another key of thirty-two bytes!"), 60)) == (401, "wrong-login")
    head, claims, signature = secrets.sign(key, "plan:write", signing, 60).split(".")
    assert use(f"{head}.{claims}.{signature[:-4]}AAAA") == (401, "wrong-login")
    assert use(f"{head}.{claims}.") == (401, "wrong-login")
    assert use(secrets.sign(key, "audit:read", signing, 60)) == (403, "not-allowed")  # no scope of the key
    running.run(running.services.door.accounts.withdraw_key(key))
    assert use(secrets.sign(key, "plan:read", signing, 60)) == (401, "login-expired")


def test_a_requester_and_a_machine_see_their_own_plans_only(college: College) -> None:
    mine = college.ask("requester", SALT).json()["id"]
    talk = college.by_key("requester", "POST", "/v1/conversations").json()["conversation"]
    assert college.by_key("requester", "GET", f"/v1/plans/{mine}").status_code == 200
    assert college.by_key("requester", "GET", f"/v1/conversations/{talk}").status_code == 200
    assert college.by_key("machine", "GET", f"/v1/plans/{mine}").status_code == 404
    assert college.by_key("machine", "GET", f"/v1/conversations/{talk}").status_code == 404
    said = college.by_key("machine", "POST", f"/v1/conversations/{talk}/messages", json={"text": "thanks"})
    assert said.status_code == 404
    assert college.by_key("machine", "GET", "/v1/plans").json() == {"plans": []}
    assert college.by_key("auditor", "GET", f"/v1/plans/{mine}").status_code == 200
    assert college.by_key("auditor", "GET", f"/v1/conversations/{talk}").status_code == 200
    assert [line["id"] for line in college.by_key("auditor", "GET", "/v1/plans").json()["plans"]] == [mine]


@pytest.mark.parametrize(
    ("name", "roles", "password"),
    [
        ("x", ["maker"], PASSWORD),
        ("a b", ["maker"], PASSWORD),
        ("maker", ["maker"], PASSWORD),
        ("short", ["maker"], "short"),
        ("none", ["maker"], None),
        ("robot", ["machine"], PASSWORD),
        ("robot", ["machine", "maker"], None),
        ("odd", ["wizard"], PASSWORD),
        ("odd", [], PASSWORD),
    ],
)
def test_accounts_that_cannot_be_made(college: College, name: str, roles: list[str], password: str | None) -> None:
    with pytest.raises(AccountError):
        college.running.run(college.running.services.door.accounts.add(name, roles, password))


def test_the_list_of_accounts_shows_no_secret(college: College) -> None:
    listed = college.by_key("admin", "GET", "/v1/people")
    assert listed.status_code == 403  # a key carries no right over people: that takes a login
    listed = college.as_("admin", "GET", "/v1/people")
    assert {p["name"] for p in listed.json()["people"]} == set(college.ids)
    assert "argon2" not in json.dumps(listed.json())


def test_a_wrong_name_takes_as_long_as_a_wrong_password(college: College) -> None:
    def cost(name: str) -> float:
        began = time.process_time()
        college.log_in(name, "not the password")
        return time.process_time() - began

    known, unknown = min(cost("maker") for _ in range(3)), min(cost("nobody.here") for _ in range(3))
    assert unknown > known / 3
