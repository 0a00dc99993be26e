"""Launches from a course, against a platform that signs real tokens: a teacher asks, a learner checks, nobody else comes in."""

import builtins
import re
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, unquote

import pytest
from sqlalchemy import MetaData, select

from service.audit import log
from service.openapi import contract
from service.people.rights import ANYONE, OPEN, needed
from service.settings import Settings, SettingsError
from service.sign_in.learning import Learning
from service.store.tables_people import handshakes
from tests.conftest import StartApp
from tests.contract.shapes import shape_faults
from tests.sign_in.courses import AT_THE_COLLEGE, CLIENT, LTI, MEMBERS, NRPS, OTHER_KEY, ROLE, Claims, Lesson

SALT = "250 mL of 0.1 M sodium chloride"
CLAIM = {"request": SALT, "claimed": {"text": "1.46 g"}}
FAILED = (401, "sign-in-failed")


@pytest.fixture
def lesson(start: StartApp, database: str, tmp_path: Path) -> Lesson:
    return Lesson(start, tmp_path, database)


def _slug(response: Any) -> tuple[int, str]:
    return response.status_code, response.json()["type"].removeprefix("/problems/")


def _told(answer: Any) -> dict[str, str]:
    """What the page is told of the course."""
    assert answer.headers["location"].startswith("/#//")
    return {name: values[0] for name, values in parse_qs(unquote(answer.headers["location"][4:])).items()}


def test_a_teacher_comes_to_the_form_with_course_and_class_size(lesson: Lesson) -> None:
    answer = lesson.launch(**{f"{LTI}custom": {"class_size": "24"}})
    assert answer.status_code == 303
    assert _told(answer) == {"course": "Chemistry 2, Tuesday", "students": "24"}
    assert lesson.as_(answer, "GET", "/v1/session").json()["rights"] == ["plan:read", "plan:write"]
    assert lesson.as_(answer, "POST", "/v1/plans", json={"text": SALT}).json()["outcome"] == "planned"
    assert _slug(lesson.as_(answer, "GET", "/v1/approvals")) == (403, "not-allowed")


def test_what_the_form_is_filled_with_is_read(lesson: Lesson) -> None:
    answer = lesson.launch()
    text = "0.5 M sodium hydroxide, 25 mL each for 24 students"
    reply = lesson.as_(answer, "POST", "/v1/plans", json={"text": text}).json()
    assert reply["outcome"] == "planned"
    assert reply["request"]["portions"]["count"] == 24


def test_a_learner_can_use_the_checking_exercise_and_nothing_else(lesson: Lesson) -> None:
    answer = lesson.launch("Learner")
    assert (answer.status_code, answer.headers["location"]) == (303, "/#/check")
    checked = lesson.as_(answer, "POST", "/v1/checks", json=CLAIM)
    assert checked.json()["answer"]["verdict"] == "right"
    assert _slug(lesson.as_(answer, "POST", "/v1/plans", json={"text": SALT})) == (403, "not-allowed")
    tried = 0
    for path, operations in contract(lesson.running.app)["paths"].items():
        for method in operations:
            needs = needed(method.upper(), path)
            if needs[0] in (OPEN, ANYONE) or "check" in needs:
                continue
            url = re.sub(r"\{[^}]+\}", "0000000000", path)
            assert _slug(lesson.as_(answer, method.upper(), url)) == (403, "not-allowed"), f"{method} {path}"
            tried += 1
    assert tried > 35


def test_nothing_of_a_person_is_kept_but_the_platforms_id(lesson: Lesson) -> None:
    lesson.courses.members = [{"user_id": "u-1", "name": "Ana Iversen", "roles": ["Learner"], "status": "Active"}]
    lesson.launch(**{NRPS: {"context_memberships_url": MEMBERS, "service_versions": ["2.0"]}})
    lesson.launch("Learner", sub="u-9")
    tables = MetaData()
    with lesson.running.services.engine.connect() as connection:
        tables.reflect(connection)
        held = "".join(str(connection.execute(select(table)).all()) for table in tables.sorted_tables)
        entries = list(log.entries(connection))
    assert "u-5512" in held
    for name in ("Alvarez", "rosa@", "Iversen"):
        assert name not in held, name
    assert b"u-5512" not in b"".join(e.body for e in entries)
    assert log.verify(lesson.running.services.engine) is None


def test_a_teacher_who_learns_elsewhere_has_two_accounts(lesson: Lesson) -> None:
    teacher, learner = lesson.launch(), lesson.launch("Learner")
    ids = {lesson.as_(answer, "GET", "/v1/session").json()["id"] for answer in (teacher, learner, lesson.launch())}
    assert len(ids) == 2
    assert lesson.as_(learner, "GET", "/v1/session").json()["rights"] == ["check"]
    assert lesson.as_(teacher, "GET", "/v1/session").json()["rights"] == ["plan:read", "plan:write"]


def _members(*roles: str) -> list[Claims]:
    return [{"user_id": f"u-{n}", "name": f"N {n}", "roles": [f"{ROLE}{role}"], "status": "Active"} for n, role in enumerate(roles)]


def test_the_class_is_counted_where_the_platform_lets_us(lesson: Lesson) -> None:
    lesson.courses.members = [*_members("Learner", "Learner", "Instructor", "Learner"),
                              {"user_id": "gone", "roles": [f"{ROLE}Learner"], "status": "Inactive"}]  # fmt: skip
    nrps = {NRPS: {"context_memberships_url": MEMBERS, "service_versions": ["2.0"]}}
    assert _told(lesson.launch(**nrps))["students"] == "3"
    # What the platform's own setting says goes before.
    assert _told(lesson.launch(**nrps, **{f"{LTI}custom": {"class_size": "30"}}))["students"] == "30"
    # A learner's launch asks for no list at all.
    lesson.courses.asked.clear()
    lesson.launch("Learner", **nrps)
    assert MEMBERS not in lesson.courses.asked


@pytest.mark.parametrize("size", ["", "0", "-3", "many", "1e9", "99999", "$CourseSection.size"])
def test_a_class_size_that_is_none_is_left_out(start: StartApp, tmp_path: Path, size: str) -> None:
    told = _told(Lesson(start, tmp_path).launch(**{f"{LTI}custom": {"class_size": size}}))
    assert told == {"course": "Chemistry 2, Tuesday"}


def test_the_form_opens_though_the_head_count_fails(lesson: Lesson) -> None:
    lesson.launch()  # the keys are known from here on
    lesson.courses.away = True
    answer = lesson.launch(**{NRPS: {"context_memberships_url": MEMBERS, "service_versions": ["2.0"]}})
    assert _told(answer) == {"course": "Chemistry 2, Tuesday"}


def _changed(**values: Any) -> Callable[[Claims], Claims]:
    return lambda claims: {key: value for key, value in {**claims, **values}.items() if value is not None}


WRONG: dict[str, Callable[[Claims], Claims]] = {
    "wrong nonce": _changed(nonce="another"),
    "no nonce": _changed(nonce=None),
    "wrong deployment": _changed(**{f"{LTI}deployment_id": "dep-2"}),
    "no deployment": _changed(**{f"{LTI}deployment_id": None}),
    "expired": _changed(exp=int(time.time()) - 60, iat=int(time.time()) - 600),
    "no end": _changed(exp=None),
    "no beginning": _changed(iat=None),
    "wrong audience": _changed(aud="another-tool"),
    "for others too": _changed(aud=[CLIENT, "another-tool"]),
    "no audience": _changed(aud=None),
    "wrong issuer": _changed(iss="https://courses.elsewhere.example"),
    "wrong version": _changed(**{f"{LTI}version": "1.1"}),
    "another kind": _changed(**{f"{LTI}message_type": "LtiDeepLinkingRequest"}),
    "nobody": _changed(sub=None),
}


@pytest.mark.parametrize("what", WRONG)
def test_a_launch_that_proves_nothing_lets_nobody_in(start: StartApp, tmp_path: Path, what: str) -> None:
    lesson = Lesson(start, tmp_path)
    lesson.spoil = WRONG[what]
    answer = lesson.launch()
    assert _slug(answer) == FAILED
    assert "prepwright_session" not in answer.cookies
    assert not lesson.running.services.door.accounts.any()
    lesson.spoil = lambda claims: claims
    assert lesson.launch().status_code == 303


def test_a_launch_that_the_platform_did_not_sign_lets_nobody_in(lesson: Lesson) -> None:
    lesson.key = OTHER_KEY
    assert _slug(lesson.launch()) == FAILED
    begun = lesson.begin()
    form = lesson.signed(begun)
    head, claims, _ = form["id_token"].split(".")
    assert _slug(lesson.post({**form, "id_token": f"{head}.{claims}."})) == FAILED
    for token in ("", "x", "a.b.c", f"{head}..", "e30.e30.e30", "W10.W10.W10"):
        form = lesson.signed(lesson.begin())
        assert lesson.post({**form, "id_token": token}).status_code in (401, 422), token
    assert not lesson.running.services.door.accounts.any()


def test_a_launch_counts_once(lesson: Lesson) -> None:
    begun = lesson.begin("GET")
    form = lesson.signed(begun)
    assert lesson.post(form).status_code == 303
    assert _slug(lesson.post(form)) == FAILED
    # The nonce of one launch under the state of another.
    other = lesson.signed(lesson.begin())
    assert _slug(lesson.post({**form, "state": other["state"]})) == FAILED
    assert _slug(lesson.post({**other, "state": "state-made-up"})) == FAILED
    with lesson.running.services.engine.begin() as connection:
        assert connection.execute(handshakes.select()).all() == []
    late = lesson.signed(lesson.begin())
    with lesson.running.services.engine.begin() as connection:
        connection.execute(handshakes.update().values(expires="2020-01-01T00:00:00.000000Z"))
    assert _slug(lesson.post(late)) == FAILED


@pytest.mark.parametrize(
    "roles",
    [[], [f"{ROLE}Mentor"], [f"{AT_THE_COLLEGE}Instructor"], ["http://purl.imsglobal.org/vocab/lis/v2/system/person#Administrator"],
     [f"{ROLE}Instructor/x"], "Instructor", None],
)  # fmt: skip
def test_only_a_part_in_this_course_counts(start: StartApp, tmp_path: Path, roles: Any) -> None:
    answer = Lesson(start, tmp_path).launch(**{f"{LTI}roles": roles})
    assert answer.status_code in (401, 403)
    assert "prepwright_session" not in answer.cookies


def test_who_teaches_at_the_college_and_learns_in_this_course_is_a_learner(lesson: Lesson) -> None:
    answer = lesson.launch(**{f"{LTI}roles": [f"{AT_THE_COLLEGE}Instructor", f"{ROLE}Learner"]})
    assert answer.headers["location"] == "/#/check"


def test_platforms_that_are_not_set_up_are_turned_away(lesson: Lesson, start: StartApp, tmp_path: Path) -> None:
    assert _slug(lesson.begin(iss="https://courses.elsewhere.example")) == FAILED
    assert _slug(lesson.begin(login_hint="")) == (422, "invalid-request")
    assert _slug(lesson.post({"state": "x"})) == (422, "invalid-request")
    none = start(f"sqlite:///{tmp_path / 'other.sqlite3'}", head_file=tmp_path / "other-head")
    assert _slug(none.get("/v1/lti/login?iss=x&login_hint=y")) == (404, "sign-in-not-set-up")
    assert none.get("/v1/lti/keys").json() == {"keys": []}


def test_a_platform_that_is_away_is_said_to_be_away(lesson: Lesson) -> None:
    lesson.courses.away = True
    assert _slug(lesson.launch()) == (503, "sign-in-unreachable")


def test_the_key_of_the_tool_is_public_only(lesson: Lesson) -> None:
    found = lesson.running.get("/v1/lti/keys").json()
    assert shape_faults(found, "KeyList") == []
    assert len(found["keys"]) == 1
    assert "d" not in found["keys"][0]


def test_without_the_extra_it_is_said_what_to_install(lesson: Lesson, monkeypatch: pytest.MonkeyPatch) -> None:
    real = builtins.__import__

    def without(name: str, *rest: Any) -> Any:
        if name.startswith(("pylti1p3", "service.sign_in")):
            raise ImportError(name)
        return real(name, *rest)

    monkeypatch.setattr(builtins, "__import__", without)
    assert _slug(lesson.begin()) == (503, "sign-in-not-installed")


@pytest.mark.parametrize(
    "content", ["", "{", "[]", '{"https://a.example": {}}', '{"https://a.example": 7}',
                '{"https://a.example": {"client_id": "c", "auth_login_url": "http://a.example", "auth_token_url": "https://a.example",'
                ' "key_set_url": "https://a.example", "deployment_ids": ["1"]}}',
                '{"https://a.example": {"client_id": "c", "auth_login_url": "https://a.example", "auth_token_url": "https://a.example",'
                ' "key_set_url": "https://a.example", "deployment_ids": "1"}}'],
)  # fmt: skip
def test_a_file_of_platforms_that_cannot_be_used_is_named(tmp_path: Path, content: str) -> None:
    file = tmp_path / "platforms.json"
    file.write_text(content)
    with pytest.raises(SettingsError, match=r"platforms\.json"):
        Learning(Settings("sqlite://", tmp_path / "head", public_url="https://a.example", lti_platforms=str(file)))
