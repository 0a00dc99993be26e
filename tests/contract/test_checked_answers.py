"""POST /v1/checks: the verdict as a stored reply, and every field that cannot be used named."""

from typing import Any

import httpx
import pytest

from service.api.examples_checks import CHECKED, CLAIMED
from tests.conftest import Running
from tests.contract.shapes import committed, faults, shape_faults


def check(running: Running, body: Any) -> httpx.Response:
    return running.call("POST", "/v1/checks", json=body)


@pytest.mark.parametrize(
    ("name", "verdict", "slip"),
    [
        ("plain_words", "wrong", "water-forgotten"),
        ("whole_sentence", "right", None),
        ("typed", "wrong", "volume-left-out"),
    ],
)
def test_each_way_to_ask_gives_a_verdict(running: Running, name: str, verdict: str, slip: str | None) -> None:
    response = check(running, CLAIMED[name])
    assert response.status_code == 200
    reply = response.json()
    assert shape_faults(reply, "Reply") == []
    assert (reply["outcome"], reply["answer"]["verdict"]) == ("answered", verdict)
    assert [s["id"] for s in reply["answer"]["slips"]] == ([slip] if slip else [])


def test_the_published_example_tells_the_truth(running: Running) -> None:
    reply, example = check(running, CLAIMED["plain_words"]).json(), CHECKED["wrong"]
    assert reply["read_as"] == example["read_as"]
    for part in ("text", "verdict", "slips"):
        assert reply["answer"][part] == example["answer"][part]
    assert reply["answer"]["amount"]["value"] == pytest.approx(example["answer"]["amount"]["value"], rel=1e-9)


def test_the_examples_of_the_body_fit_its_shape() -> None:
    body = committed()["paths"]["/v1/checks"]["post"]["requestBody"]["content"]["application/json"]
    assert set(body["examples"]) == set(CLAIMED)
    for example in body["examples"].values():
        assert faults(example["value"], body["schema"]) == []


def test_a_check_is_stored_and_logged_like_a_plan(running: Running) -> None:
    given = check(running, CLAIMED["plain_words"])
    assert running.get(f"/v1/plans/{given.json()['id']}").content == given.content
    seq, _, entry = given.headers["prepwright-audit-head"].partition(":")
    assert int(seq) >= 1
    assert len(entry) == 64


def test_the_same_check_as_a_sentence_and_as_fields_gives_the_same_answer(running: Running) -> None:
    sentence = running.ask("check 7.98 g: 500 mL of 0.100 M copper(II) sulfate pentahydrate").json()
    assert sentence["answer"] == check(running, CLAIMED["plain_words"]).json()["answer"]
    assert running.ask(sentence["request"]).json()["answer"] == sentence["answer"]


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({}, "/claimed"),
        ({"claimed": {"value": "1", "unit": "g"}}, "/request"),
        ({"claimed": {"text": "250 mL of 0.1 M sodium chloride"}}, "/claimed/text"),
        ({"request": "250 mL of 0.1 M sodium chloride", "claimed": {"text": "lots"}}, "/claimed/text"),
        ({"request": "250 mL of 0.1 M sodium chloride", "claimed": {"value": "1", "unit": "furlong"}}, "/claimed/unit"),
        ({"request": "mix bleach with acid", "claimed": {"value": "1", "unit": "g"}}, "/request"),
        ({"request": {"colour": "blue"}, "claimed": {"value": "1", "unit": "g"}}, "/request/components"),
        ({"request": "x", "claimed": {"value": "1", "unit": "g"}, "by": "me"}, "/by"),
    ],
)
def test_a_field_that_cannot_be_used_is_named(running: Running, body: Any, pointer: str) -> None:
    response = check(running, body)
    assert response.status_code == 422
    assert pointer in [error["pointer"] for error in response.json()["errors"]]


def test_a_request_that_is_refused_or_open_gives_no_number(running: Running) -> None:
    for request, outcome in (
        ("500 mL of 0.1 M copper sulfate", "question"),
        ("250 mL of 3 M potassium permanganate", "refused"),
    ):
        reply = check(running, {"request": request, "claimed": {"value": "6.57", "unit": "g"}}).json()
        assert reply["outcome"] == outcome
        assert "answer" not in reply
        assert "plan" not in reply
        assert shape_faults(reply, "Reply") == []
