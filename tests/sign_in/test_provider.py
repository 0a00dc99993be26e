"""Sign-in by the college's own accounts, against a provider that signs real tokens: who comes in and who does not."""

import builtins
import time
from collections.abc import Callable
from typing import Any

import pytest

from service.audit import log
from service.people.accounts import event_of
from service.settings import Settings, SettingsError
from service.sign_in.provider import Provider
from service.store.tables_people import handshakes
from tests.conftest import StartApp
from tests.contract.shapes import shape_faults
from tests.people.college import PASSWORD
from tests.sign_in.keeper import CLIENT, ISSUER, OTHER_KEY, PUBLIC, Claims, Visit


@pytest.fixture
def visit(start: StartApp, database: str) -> Visit:
    return Visit(start, database)


def _slug(response: Any) -> tuple[int, str]:
    return response.status_code, response.json()["type"].removeprefix("/problems/")


FAILED = (401, "sign-in-failed")


def test_somebody_comes_in_with_the_roles_of_their_groups(visit: Visit) -> None:
    answer = visit.sign_in(groups=["staff", "technicians"], name="Rosa Alvarez")
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    who = visit.session(answer)
    assert (who["name"], who["via"]) == ("Rosa Alvarez", "session")
    assert "record:write" in who["rights"]
    assert "approve" not in who["rights"]
    again = visit.sign_in(groups=["safety"], name="Rosa Alvarez")
    now = visit.session(again)
    assert now["id"] == who["id"]
    assert "approve" in now["rights"]
    assert "record:write" not in now["rights"]
    people = visit.running.services.door.accounts.list()
    assert [(p.name, p.roles) for p in people] == [("r.alvarez", ("safety-officer",))]
    with visit.running.services.engine.connect() as connection:
        entries = list(log.entries(connection))
        left = connection.execute(handshakes.select()).all()
    assert [e.event for e in entries] == [
        "person.added", "login.succeeded", "person.roles_changed", "login.succeeded",
    ]  # fmt: skip
    assert b"alvarez" not in b"".join(e.body for e in entries).lower()
    assert left == []


def test_where_people_sign_in_elsewhere_nobody_is_alone(visit: Visit) -> None:
    state = visit.running.get("/v1/health").json()
    assert shape_faults(state, "Health") == []
    assert (state["sign_in"], state["login"].partition(":")[0]) == ("/v1/sign-in", "accounts")
    assert _slug(visit.running.get("/v1/plans")) == (401, "login-needed")
    assert _slug(visit.running.ask("250 mL of 0.1 M sodium chloride")) == (401, "login-needed")


def _changed(**values: Any) -> Callable[[Claims], Claims]:
    return lambda claims: {key: value for key, value in {**claims, **values}.items() if value is not None}


WRONG: dict[str, Callable[[Claims], Claims]] = {
    "wrong nonce": _changed(nonce="another"),
    "no nonce": _changed(nonce=None),
    "wrong audience": _changed(aud="another-client"),
    "for others too": _changed(aud=[CLIENT, "another-client"]),
    "others are the authorised party": _changed(aud=[CLIENT, "another-client"], azp="another-client"),
    "no audience": _changed(aud=None),
    "expired": _changed(exp=int(time.time()) - 60, iat=int(time.time()) - 600),
    "no end": _changed(exp=None),
    "wrong issuer": _changed(iss="https://accounts.elsewhere.example"),
    "nobody": _changed(sub=None),
}


@pytest.mark.parametrize("what", WRONG)
def test_a_token_that_proves_nothing_lets_nobody_in(start: StartApp, what: str) -> None:
    visit = Visit(start)
    visit.keeper.spoil = WRONG[what]
    answer = visit.sign_in()
    assert _slug(answer) == FAILED
    assert "prepwright_session" not in answer.cookies
    assert not visit.running.services.door.accounts.any()
    visit.keeper.spoil = lambda claims: claims
    assert visit.sign_in().status_code == 303


@pytest.mark.parametrize("how", ["another key", "shared secret", "unsigned"])
def test_a_token_that_the_provider_did_not_sign_lets_nobody_in(start: StartApp, how: str) -> None:
    visit = Visit(start)
    keeper = visit.keeper
    if how == "another key":
        keeper.key = OTHER_KEY
    elif how == "shared secret":
        keeper.algorithm = "HS256"
    else:
        keeper.algorithm = "none"
    assert _slug(visit.sign_in()) == FAILED
    assert not visit.running.services.door.accounts.any()


def test_an_answer_counts_once_and_in_its_own_browser_only(visit: Visit) -> None:
    begun = visit.begin()
    code, state = visit.keeper.authorize(begun.headers["location"], groups=["technicians"])
    cookie = begun.cookies["prepwright_sign_in"]
    assert visit.back(code, state, cookie).status_code == 303
    assert _slug(visit.back(code, state, cookie)) == FAILED
    begun = visit.begin()
    code, state = visit.keeper.authorize(begun.headers["location"], groups=["technicians"])
    assert _slug(visit.back(code, state, None)) == FAILED
    begun = visit.begin()
    code, state = visit.keeper.authorize(begun.headers["location"], groups=["technicians"])
    assert _slug(visit.back(code, state, visit.begin().cookies["prepwright_sign_in"])) == FAILED
    assert _slug(visit.back(code, "made-up", cookie)) == FAILED
    begun = visit.begin()
    _, state = visit.keeper.authorize(begun.headers["location"])
    assert _slug(visit.back("", state, begun.cookies["prepwright_sign_in"], error="access_denied")) == FAILED


def test_an_answer_that_comes_late_counts_for_nothing(visit: Visit) -> None:
    begun = visit.begin()
    code, state = visit.keeper.authorize(begun.headers["location"], groups=["technicians"])
    with visit.running.services.engine.begin() as connection:
        connection.execute(handshakes.update().values(expires="2020-01-01T00:00:00.000000Z"))
    assert _slug(visit.back(code, state, begun.cookies["prepwright_sign_in"])) == FAILED


@pytest.mark.parametrize("groups", [[], ["students"], None, "students", 7, {"technicians": True}])
def test_without_a_role_there_is_no_way_in(start: StartApp, groups: Any) -> None:
    visit = Visit(start)
    assert _slug(visit.sign_in(groups=groups)) == (403, "no-role")
    assert not visit.running.services.door.accounts.any()


def test_who_loses_every_role_loses_sessions_and_keys(visit: Visit) -> None:
    running = visit.running
    entered = visit.sign_in()
    who = visit.session(entered)["id"]
    key = running.run(running.services.door.accounts.add_key(who, ["plan:read"], 30))
    assert _slug(visit.sign_in(groups=[])) == (403, "no-role")
    running.services.door.forget()
    bare = {"Cookie": f"prepwright_session={entered.cookies['prepwright_session']}"}
    assert running.get("/v1/session", headers=bare).status_code == 401
    assert running.get("/v1/session", headers={"Authorization": f"Bearer {key.bearer}"}).status_code == 401


def test_an_account_that_was_closed_here_stays_closed(visit: Visit) -> None:
    who = visit.session(visit.sign_in())["id"]
    visit.running.run(visit.running.services.door.accounts.close(who))
    assert _slug(visit.sign_in()) == (403, "no-role")


def test_nobody_takes_over_an_account_by_having_its_name(visit: Visit) -> None:
    accounts = visit.running.services.door.accounts
    local = visit.running.run(accounts.add("r.alvarez", ["admin"], PASSWORD))
    who = visit.session(visit.sign_in())
    assert who["id"] != local
    assert "people" not in who["rights"]
    assert {p.name for p in accounts.list()} == {"r.alvarez", f"r.alvarez-{who['id'].lower()}"}
    other = visit.session(visit.sign_in(sub="u-18"))
    assert other["id"] not in (local, who["id"])


def test_erasing_takes_the_outside_identity_too(visit: Visit) -> None:
    who = visit.session(visit.sign_in())["id"]
    visit.running.run(visit.running.services.door.accounts.erase(who))
    assert log.verify(visit.running.services.engine) is None
    assert visit.session(visit.sign_in())["id"] != who


def test_a_claim_inside_an_object_is_found(start: StartApp) -> None:
    visit = Visit(start, oidc_role_claim="access.here")
    assert visit.sign_in(access={"here": "technicians"}).status_code == 303
    assert _slug(visit.sign_in(access="technicians")) == (403, "no-role")


def test_a_provider_that_is_away_is_said_to_be_away(start: StartApp) -> None:
    visit = Visit(start)
    visit.keeper.away = True
    assert _slug(visit.begin()) == (503, "sign-in-unreachable")
    visit.keeper.away = False
    visit.keeper.published["issuer"] = "https://accounts.elsewhere.example"
    assert _slug(visit.begin()) == (503, "sign-in-unreachable")
    visit.keeper.published["issuer"] = ISSUER
    visit.keeper.published["token_endpoint"] = "http://accounts.alder-vale.example/token"
    assert _slug(visit.begin()) == (503, "sign-in-unreachable")


def test_without_the_extra_it_is_said_what_to_install(start: StartApp, monkeypatch: pytest.MonkeyPatch) -> None:
    visit = Visit(start)
    real = builtins.__import__

    def without(name: str, *rest: Any) -> Any:
        if name.startswith("authlib"):
            raise ImportError(name)
        return real(name, *rest)

    monkeypatch.setattr(builtins, "__import__", without)
    answer = visit.begin()
    assert _slug(answer) == (503, "sign-in-not-installed")
    assert "prepwright[sign-in]" in answer.json()["detail"]


def test_where_no_provider_is_set_up_there_is_no_sign_in(start: StartApp) -> None:
    running = start()
    assert _slug(running.get("/v1/sign-in")) == (404, "sign-in-not-set-up")
    assert _slug(running.get("/v1/sign-in/back?state=x&code=y")) == (404, "sign-in-not-set-up")


def test_sign_ins_are_counted(start: StartApp) -> None:
    visit = Visit(start, sign_ins_a_minute=3)
    assert [visit.begin().status_code for _ in range(5)] == [303, 303, 303, 429, 429]


GOOD = {"public_url": PUBLIC, "oidc_issuer": ISSUER, "oidc_client_id": CLIENT, "oidc_roles": ("a=maker",)}


@pytest.mark.parametrize(
    ("changed", "named"),
    [
        ({"oidc_issuer": "http://accounts.alder-vale.example"}, "OIDC_ISSUER"),
        ({"public_url": ""}, "PUBLIC_URL"),
        ({"oidc_client_id": ""}, "OIDC_CLIENT_ID"),
        ({"oidc_roles": ()}, "OIDC_ROLES"),
        ({"oidc_roles": ("a=wizard",)}, "OIDC_ROLES"),
        ({"oidc_roles": ("a=machine",)}, "OIDC_ROLES"),
        ({"oidc_roles": ("maker",)}, "OIDC_ROLES"),
    ],
)
def test_settings_that_cannot_work_are_named(changed: dict[str, Any], named: str, tmp_path: Any) -> None:
    settings = Settings("sqlite://", tmp_path / "head").changed(**GOOD)
    Provider(settings)
    with pytest.raises(SettingsError, match=named):
        Provider(settings.changed(**changed))
    assert "hush" not in repr(settings.changed(oidc_client_secret="hush"))


def test_events_of_accounts_hold_no_name() -> None:
    assert event_of("service", "person.added", "X", roles=["maker"]).body == b'{"roles":["maker"]}'
