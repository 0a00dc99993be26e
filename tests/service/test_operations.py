"""What runs the service: counters for monitoring, and answers that are sent only when they have changed."""

from prometheus_client.parser import text_string_to_metric_families

from tests.conftest import StartApp

SALT = "250 mL of 0.1 M sodium chloride"


def _values(text: str) -> dict[tuple[str, tuple[tuple[str, str], ...]], float]:
    return {
        (sample.name, tuple(sorted(sample.labels.items()))): sample.value
        for family in text_string_to_metric_families(text)
        for sample in family.samples
    }


def test_counters_are_read_by_the_reference_parser_and_hold_no_words_of_people(start: StartApp) -> None:
    running = start()
    for _ in range(3):
        running.ask(SALT)
    running.ask("1 L of 2 M nitric acid")
    running.get("/v1/plans/ZZZZZZZZZZ")
    text = running.get("/metrics").text
    values = _values(text)
    assert values["prepwright_requests_total", (("method", "POST"), ("route", "/v1/plans"), ("status", "200"))] == 4
    assert values["prepwright_requests_total", (("method", "GET"), ("route", "/v1/plans/{plan_id}"), ("status", "404"))] == 1
    assert values["prepwright_replies", (("outcome", "planned"),)] == 3
    assert values["prepwright_holds", (("state", "waiting"),)] == 1
    assert values["prepwright_audit_entries", ()] >= 5
    assert "chloride" not in text
    assert "ZZZZ" not in text


def test_an_answer_is_sent_again_only_when_it_has_changed(start: StartApp) -> None:
    running = start()
    plan = running.ask(SALT).json()["id"]
    body = {"by": "AB", "used": [{"readings": ["1.4610"], "unit": "g"}]}
    record = running.call("POST", f"/v1/plans/{plan}/preparations", json=body).json()["id"]
    for path in (
        f"/v1/plans/{plan}", "/v1/rules", "/v1/rules/ask-first-list", "/v1/substances?q=sodium",
        "/v1/substances/sodium-chloride", "/v1/plans", f"/v1/preparations/{record}", "/openapi.json",
    ):  # fmt: skip
        first = running.get(path)
        assert first.status_code == 200, path
        tag = first.headers["etag"]
        assert first.headers["cache-control"] == "private, no-cache"
        for sent in (tag, f'W/{tag}, "other"', "*"):
            again = running.call("GET", path, headers={"If-None-Match": sent})
            assert (again.status_code, again.content) == (304, b"")
            assert again.headers["etag"] == tag
            assert again.headers["x-content-type-options"] == "nosniff"
        assert running.call("GET", path, headers={"If-None-Match": '"other"'}).status_code == 200
    assert running.get("/v1/session").headers["cache-control"] == "no-store"
    assert running.ask(SALT).headers["cache-control"] == "no-store"
    before = running.get("/v1/plans").headers["etag"]
    running.ask(SALT)
    assert running.call("GET", "/v1/plans", headers={"If-None-Match": before}).status_code == 200
