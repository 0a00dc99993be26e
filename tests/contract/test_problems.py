"""Every error is a problem document of a known kind, with a page behind its type and never a trace."""

from typing import Any

import pytest

from service.problems import KINDS
from service.store.writer import StoreBusyError, StoreDownError
from tests.conftest import Running, StartApp
from tests.contract.shapes import shape_faults

JSON = {"Content-Type": "application/json"}
GOOD = {
    "kind": "prepare",
    "components": [{"solute": {"name": "sodium chloride"}, "strength": {"value": "0.1", "unit": "mol/L"}}],
    "total": {"value": "250", "unit": "mL"},
}

CALLS: list[tuple[str, str, str, dict[str, Any]]] = [
    ("body-not-json", "POST", "/v1/plans", {"content": b"", "headers": JSON}),
    ("body-not-json", "POST", "/v1/plans", {"content": b'{"text": "x"', "headers": JSON}),
    ("body-not-json", "POST", "/v1/plans", {"content": b"[]", "headers": JSON}),
    ("body-not-json", "POST", "/v1/plans", {"content": b'{"text": "\xff"}', "headers": JSON}),
    ("body-not-json", "POST", "/v1/plans", {"content": b'{"text": "\\ud800"}', "headers": JSON}),
    ("body-not-json", "POST", "/v1/plans", {"content": b'{"a":' * 5000 + b"1" + b"}" * 5000, "headers": JSON}),
    ("content-not-json", "POST", "/v1/plans", {"content": b'{"text": "x"}'}),
    ("content-not-json", "POST", "/v1/plans", {"data": {"text": "x"}}),
    ("body-too-large", "POST", "/v1/plans", {"json": {"text": "x" * 70_000}}),
    ("invalid-request", "POST", "/v1/plans", {"json": {}}),
    ("invalid-request", "POST", "/v1/plans", {"json": {"text": None}}),
    ("invalid-request", "POST", "/v1/plans", {"json": {"text": "x", "request": GOOD}}),
    ("invalid-request", "POST", "/v1/plans", {"json": {"request": 7}}),
    ("invalid-request", "GET", "/v1/plans?outcome=done", {}),
    ("invalid-request", "GET", "/v1/plans?limit=0", {}),
    ("invalid-request", "GET", "/v1/plans?limit=9999999999999999999999", {}),
    ("invalid-request", "GET", "/v1/plans?after=-1", {}),
    ("invalid-request", "GET", "/v1/rules?group=nonsense", {}),
    ("invalid-request", "GET", f"/v1/substances?q={'x' * 300}", {}),
    ("no-such-page", "GET", "/v1/nothing", {}),
    ("no-such-page", "GET", "/v1/plans/", {}),
    ("no-such-page", "GET", "/docs", {}),
    ("no-such-plan", "GET", "/v1/plans/0000000000", {}),
    ("no-such-conversation", "GET", "/v1/conversations/0000000000", {}),
    ("no-such-conversation", "GET", "/v1/conversations/nothing", {}),
    ("no-such-conversation", "POST", "/v1/conversations/0000000000/messages", {"json": {"text": "thanks"}}),
    ("invalid-request", "POST", "/v1/conversations/0000000000/messages", {"json": {"texts": "thanks"}}),
    ("body-not-json", "POST", "/v1/conversations/0000000000/messages", {"content": b"[]", "headers": JSON}),
    ("no-such-plan", "GET", "/v1/plans/draft-0123456789ab", {}),
    ("no-such-plan", "GET", "/v1/plans/%00%0a'--", {}),
    ("no-such-preparation", "GET", "/v1/preparations/0000000000", {}),
    ("no-such-preparation", "GET", "/v1/preparations/nothing/label", {}),
    ("no-such-plan", "GET", "/v1/plans/0000000000/sheet", {}),
    ("invalid-request", "GET", "/v1/preparations/0000000000/label?size=huge", {}),
    ("no-such-day", "GET", "/v1/days/0000000000", {}),
    ("no-such-day", "GET", "/v1/days/nothing/sheet", {}),
    ("invalid-request", "POST", "/v1/days", {"json": {"date": "2027-01-18"}}),
    ("no-such-rule", "GET", "/v1/rules/nothing", {}),
    ("no-such-substance", "GET", "/v1/substances/nothing", {}),
    ("no-such-source", "GET", "/v1/sources/nothing", {}),
    ("no-such-problem", "GET", "/problems/nothing", {}),
    ("method-not-allowed", "PUT", "/v1/plans", {"json": {}}),
    ("method-not-allowed", "POST", "/v1/rules", {"json": {}}),
    ("method-not-allowed", "DELETE", "/v1/plans/0000000000", {}),
]
ELSEWHERE = {"unknown-host", "fault", "store-unavailable", "busy"}  # each has a test of its own below
ELSEWHERE |= {"login-needed", "wrong-login", "login-expired", "only-this-machine", "not-allowed", "cross-site"}
ELSEWHERE |= {"too-many-requests"}  # these in tests/people
ELSEWHERE |= {"own-request", "not-approvable", "nothing-to-decide", "already-decided", "withdrawn"}  # in tests/approvals
ELSEWHERE |= {"no-such-policy", "looser-than-the-law", "policy-moved-on", "own-proposal"}  # in tests/policies
ELSEWHERE |= {"not-among-people", "no-such-webhook"}  # in tests/policies and tests/outbox
ELSEWHERE |= {"sign-in-failed", "no-role", "sign-in-unreachable", "sign-in-not-installed", "sign-in-not-set-up"}  # in tests/sign_in
ELSEWHERE |= {"batch-unreadable", "content-not-batch"}  # in tests/service/test_batches.py
ELSEWHERE |= {"no-such-bottle", "bottle-not-usable", "bottle-not-as-planned", "not-enough-left"}  # in tests/shelf
ELSEWHERE |= {"table-unreadable", "content-not-csv", "rows-not-usable"}  # in tests/shelf/test_shelf_tables.py
ELSEWHERE |= {"in-flight", "key-reused"}  # in tests/service/test_repeats.py
ELSEWHERE |= {"nothing-to-make", "cannot-be-standardised"}  # in tests/records
ELSEWHERE |= {"not-approved", "no-real-value", "printing-not-installed"}  # in tests/paper


def _problem(response: Any, slug: str) -> dict[str, Any]:
    problem: dict[str, Any] = response.json()
    assert shape_faults(problem, "ProblemDocument") == []
    assert response.headers["content-type"] == "application/problem+json"
    assert problem["type"] == f"/problems/{slug}"
    assert response.status_code == problem["status"] == KINDS[slug].status
    assert problem["request_id"] == response.headers["x-request-id"]
    assert "Traceback" not in response.text
    assert "<html" not in response.text.lower()
    return problem


@pytest.mark.parametrize(
    ("slug", "method", "path", "options"), CALLS, ids=lambda v: v[:40] if isinstance(v, str) else ""
)
def test_each_fault_of_a_caller_is_named(
    running: Running, slug: str, method: str, path: str, options: dict[str, Any]
) -> None:
    problem = _problem(running.call(method, path, **options), slug)
    assert running.get(problem["type"]).json()["title"] == problem["title"]


def test_every_kind_of_problem_is_shown_by_a_test() -> None:
    assert {slug for slug, *_ in CALLS} | ELSEWHERE == set(KINDS)


def test_a_wrong_method_is_told_the_right_ones(running: Running) -> None:
    assert running.call("PUT", "/v1/rules").headers["allow"] == "GET"
    assert running.call("OPTIONS", "/v1/plans?limit=5").headers["allow"] == "GET, POST"
    assert running.call("PUT", "/v1/session").headers["allow"] == "DELETE, GET, POST"


def test_all_faults_of_a_typed_request_are_named_at_once(running: Running) -> None:
    response = running.ask(
        {
            "components": [
                {
                    "solute": {"name": "sodium chloride", "colour": "white"},
                    "strength": {"value": "0.1", "unit": "furlong"},
                }
            ],
            "total": {"value": "-5", "unit": "mL"},
            "purpose": "fun",
            "portions": {"count": 0, "each": {"value": "1e400", "unit": "g"}},
        }
    )
    errors = {error["pointer"]: error for error in _problem(response, "invalid-request")["errors"]}
    assert set(errors) == {
        "/request/components/0/solute/colour",
        "/request/components/0/strength/unit",
        "/request/total/value",
        "/request/purpose",
        "/request/portions/count",
        "/request/portions/each/value",
        "/request/portions/each/unit",
    }
    assert "mol/L" in errors["/request/components/0/strength/unit"]["allowed"]
    assert "furlong" in errors["/request/components/0/strength/unit"]["message"]
    assert errors["/request/portions/each/unit"]["allowed"] == [
        *("L", "dL", "cL", "mL", "uL"),
        *("LTR", "DMQ", "MLT", "CMQ", "4G"),
    ]


@pytest.mark.parametrize(
    ("field", "value"), [("solvent_volume", "yes"), ("solvent_volume", 1), ("ph", True), ("solvent", 7)]
)
def test_a_value_of_another_type_is_not_taken_for_the_right_one(running: Running, field: str, value: Any) -> None:
    errors = _problem(running.ask({**GOOD, field: value}), "invalid-request")["errors"]
    assert [error["pointer"] for error in errors] == [f"/request/{field}"]


def test_a_body_without_a_length_is_stopped_where_it_gets_too_long(running: Running) -> None:
    taken = 0

    async def endless() -> Any:
        nonlocal taken
        while True:
            taken += 4096
            yield b"x" * 4096

    _problem(running.call("POST", "/v1/plans", content=endless(), headers=JSON), "body-too-large")
    assert taken <= running.services.settings.body_limit + 2 * 4096


def test_a_strange_host_name_is_turned_away(start: StartApp) -> None:
    running = start(allowed_hosts=("127.0.0.1", "::1"))
    assert running.get("/v1/health/live", headers={"Host": "127.0.0.1:8000"}).status_code == 200
    assert running.get("/v1/health/live", headers={"Host": "[::1]:8000"}).status_code == 200
    _problem(running.get("/v1/health/live", headers={"Host": "prep.example"}), "unknown-host")


def test_a_fault_of_the_program_gives_no_trace_and_stores_nothing(start: StartApp) -> None:
    def answer(asked: Any, bench: Any) -> Any:
        if asked == "break":
            raise RuntimeError("the inner secret")
        from service.pipeline import answer as real

        return real(asked, bench)

    running = start(answer=answer)
    response = running.ask("break")
    _problem(response, "fault")
    assert "secret" not in response.text
    assert running.get("/v1/plans").json() == {"plans": []}
    assert running.ask("250 mL of 0.1 M sodium chloride").status_code == 200


@pytest.mark.parametrize(("error", "slug"), [(StoreBusyError("x"), "busy"), (StoreDownError("x"), "store-unavailable")])
def test_no_reply_is_given_that_could_not_be_stored(
    running: Running, monkeypatch: pytest.MonkeyPatch, error: Exception, slug: str
) -> None:
    async def fail(*_: object) -> None:
        raise error

    monkeypatch.setattr("service.store.writer.Writer.write", fail)
    response = running.ask("250 mL of 0.1 M sodium chloride")
    _problem(response, slug)
    assert response.headers["retry-after"] == "2"


def test_every_response_carries_the_security_headers_and_an_id(running: Running) -> None:
    for response in (running.get("/"), running.get("/nothing"), running.ask("10 banana")):
        assert response.headers["x-content-type-options"] == "nosniff"
        assert response.headers["content-security-policy"].startswith("default-src 'none'")
        kept = response.request.method == "GET" and "etag" in response.headers
        assert response.headers["cache-control"] == ("private, no-cache" if kept else "no-store")
        assert len(response.headers["x-request-id"]) == 16


def test_a_callers_request_id_is_kept_when_it_is_a_plain_token(running: Running) -> None:
    assert running.get("/", headers={"X-Request-Id": "alder-vale-17"}).headers["x-request-id"] == "alder-vale-17"
    assert running.get("/", headers={"X-Request-Id": "<script>"}).headers["x-request-id"] != "<script>"
