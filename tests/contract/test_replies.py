"""Replies keep the contract, are the same everywhere, and are the same every time."""

import json
from typing import Any

import pytest

from clients.transport import InProcess
from grammar.request import to_document
from service.api.examples import ASKED, REPLIES, TEXTS
from service.plans.document import draft_id, plan_hash
from service.requests import read
from tests.conftest import Running
from tests.contract.shapes import shape_faults

REQUESTS = [
    *TEXTS.values(),
    "make 250 mL of 0.1 M zinc sulfate heptahydrate",
    "2.5 L of 0.1 M HCl from the conc, bottle says 37.2 %, density 1.18",
    "100 mL of 0.00020 M potassium permanganate",
    "0.5 M sodium hydroxide 500 mL",
    "1 L 0.1 M limewater",
    "3 L of 0.1 M sodium chloride",
    "0.1 m HCl 1 L",
    "0.1 N potassium dichromate 1 L",
    "25 M HCl 100 mL",
    "120 % w/w NaOH 100 mL",
    "",
    "0.1",
    "\U0001f9ea\U0001f9ea\U0001f9ea",
    "'; drop table plans; --",
    "<script>alert(1)</script>",
    "\x00\x1b[31m\u202e",
    "x" * 10_000,
]


def _without_id(document: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in document.items() if key != "id"}


@pytest.mark.parametrize("text", REQUESTS, ids=lambda text: repr(text[:30]))
def test_every_reply_has_the_published_shape(running: Running, text: str) -> None:
    response = running.ask(text)
    assert response.status_code == 200
    assert shape_faults(response.json(), "Reply") == []


@pytest.mark.parametrize("outcome", list(TEXTS))
def test_the_published_examples_tell_the_truth(running: Running, outcome: str) -> None:
    reply, example = running.ask(TEXTS[outcome]).json(), REPLIES[outcome]
    assert reply["outcome"] == outcome
    assert reply.get("read_as") == example.get("read_as")
    for shown, real in zip(
        example.get("plan", {}).get("measure", []), reply.get("plan", {}).get("measure", []), strict=True
    ):
        assert shown["amount"]["value"] == pytest.approx(real["amount"]["value"], rel=1e-9)
        assert (shown["what"], shown["amount"]["display"]) == (real["what"], real["amount"]["display"])
    for shown, real in zip(
        example.get("question", {}).get("options", []), reply.get("question", {}).get("options", []), strict=True
    ):
        assert (shown["id"], shown["label"], shown["effect"]) == (real["id"], real["label"], real["effect"])
    assert example.get("problem") == reply.get("problem")


def test_plain_words_and_typed_fields_give_the_same_reply(running: Running) -> None:
    spoken = running.ask(ASKED["plain_words"]["text"])
    typed = running.ask(spoken.json()["request"])
    assert _without_id(typed.json()) == _without_id(spoken.json())
    assert typed.headers["etag"] == spoken.headers["etag"]


@pytest.mark.parametrize("text", [t for t in REQUESTS if t])
def test_the_request_of_a_reply_reads_back_as_it_was(running: Running, text: str) -> None:
    reply = running.ask(text).json()
    given = [reply["request"]] if "request" in reply else []
    given += [option["request"] for option in reply.get("question", {}).get("options", []) if "request" in option]
    for request in given:
        assert to_document(read(request)) == request


def test_a_hundred_repeats_have_one_hash(running: Running) -> None:
    for text in (TEXTS["held"], TEXTS["question"], TEXTS["not_understood"]):
        tags = {running.ask(text).headers["etag"] for _ in range(100)}
        assert len(tags) == 1


def test_the_etag_is_the_hash_of_the_canonical_document(running: Running) -> None:
    response = running.ask(TEXTS["planned"])
    assert response.headers["etag"] == f'"{plan_hash(_without_id(response.json()))}"'


def test_a_stored_reply_comes_back_byte_for_byte(running: Running) -> None:
    given = running.ask(TEXTS["planned"])
    plan_id = given.json()["id"]
    for typed in (
        plan_id,
        plan_id.lower(),
        f"{plan_id[:5]}-{plan_id[5:]}",
        plan_id.replace("1", "l").replace("0", "o"),
    ):
        again = running.get(f"/v1/plans/{typed}")
        assert again.content == given.content
        assert again.headers["etag"] == given.headers["etag"]
    assert given.headers["content-location"] == f"/v1/plans/{plan_id}"


def test_a_held_reply_comes_back_with_where_it_stands(running: Running) -> None:
    given = running.ask(TEXTS["held"])
    again = running.get(f"/v1/plans/{given.json()['id']}")
    document = again.json()
    assert document.pop("approval")["state"] == "waiting"
    assert document == given.json()
    assert again.headers["etag"].startswith(given.headers["etag"][:-1])
    assert shape_faults(again.json(), "Reply") == []


@pytest.mark.parametrize("text", REQUESTS[:8])
def test_in_process_and_http_agree_but_for_the_id(running: Running, text: str) -> None:
    here = InProcess().ask(text)
    there = running.ask(text).json()
    assert json.loads(json.dumps(_without_id(here))) == _without_id(there)
    assert here["id"] == draft_id(_without_id(here))
    assert here["id"].startswith("draft-")


def test_reference_pages_have_their_shapes(running: Running) -> None:
    rules = running.get("/v1/rules").json()
    assert shape_faults(rules, "RuleList") == []
    assert len(rules["rules"]) >= 30
    for line in rules["rules"]:
        rule = running.get(f"/v1/rules/{line['id']}").json()
        assert shape_faults(rule, "RuleShape") == []
        for cite in rule["citations"]:
            assert shape_faults(running.get(f"/v1/sources/{cite['source_id']}").json(), "SourceShape") == []
    everything = running.get("/v1/substances").json()
    assert shape_faults(everything, "SubstanceList") == []
    assert len(everything["substances"]) >= 150
    for line in everything["substances"]:
        assert shape_faults(running.get(f"/v1/substances/{line['slug']}").json(), "SubstanceShape") == []


@pytest.mark.parametrize(
    ("query", "slug"),
    [
        ("copper sulphate", "copper-ii-sulfate"),
        ("NaCl", "sodium-chloride"),
        ("7647-14-5", "sodium-chloride"),
        ("permang", "potassium-permanganate"),
    ],
)
def test_substances_are_found_by_name_formula_cas_number_and_part(running: Running, query: str, slug: str) -> None:
    found = running.get("/v1/substances", params={"q": query}).json()
    assert slug in [line["slug"] for line in found["substances"]]


def test_a_misspelt_substance_is_suggested_not_found(running: Running) -> None:
    found = running.get("/v1/substances", params={"q": "sodium clorid"}).json()
    assert found["substances"] == []
    assert "sodium chloride" in found["suggestions"]


def test_one_group_of_rules(running: Running) -> None:
    group = running.get("/v1/rules").json()["rules"][0]["group"]
    of_group = running.get("/v1/rules", params={"group": group}).json()["rules"]
    assert of_group
    assert {rule["group"] for rule in of_group} == {group}


def test_pages_about_the_service_have_their_shapes(running: Running) -> None:
    for path, shape in (
        ("/", "Start"),
        ("/problems", "ProblemList"),
        ("/v1/health", "Health"),
        ("/v1/health/live", "Live"),
    ):
        response = running.get(path)
        assert response.status_code == 200
        assert shape_faults(response.json(), shape) == []
    for page in running.get("/problems").json()["problems"]:
        assert running.get(page["type"]).json() == page
