"""Conversations over the API: stored and logged message by message, found again, the same in a second process."""

import asyncio

import orjson
from sqlalchemy import select

from service.api.examples_talk import MESSAGES, TALK
from service.audit import log
from service.audit.chain import Head
from service.plans.archive import altered_plan
from service.store.tables import audit, conversations, plans
from tests.conftest import Running, StartApp
from tests.contract.shapes import shape_faults


def _open(app: Running) -> str:
    response = app.call("POST", "/v1/conversations")
    assert response.status_code == 201
    found: str = response.json()["conversation"]
    assert response.headers["Location"] == f"/v1/conversations/{found}/messages"
    return found


def _say(app: Running, conversation: str, text: str) -> dict[str, object]:
    response = app.call("POST", f"/v1/conversations/{conversation}/messages", json={"text": text})
    assert response.status_code == 200, response.text
    document: dict[str, object] = response.json()
    assert shape_faults(document, "Reply") == []
    assert document["conversation"] == conversation
    return document


def test_a_talk_is_kept_and_found_again(start: StartApp, database: str) -> None:
    app = start(database)
    talk = _open(app)
    said = [_say(app, talk, text) for text in TALK]
    assert [d["taken_for"] for d in said] == ["new_request", "answer", "question"]
    found = app.get(f"/v1/conversations/{talk}").json()
    assert shape_faults(found, "Conversation") == []
    assert [(m["n"], m["text"], m["taken_for"], m["plan"]) for m in found["messages"]] == [
        (n, text, d["taken_for"], d["id"]) for n, (text, d) in enumerate(zip(TALK, said, strict=True), 1)
    ]
    assert found["read_as"] == "Make 500 mL of 0.1 mol/L copper(II) sulfate pentahydrate"
    assert "question" not in found


def test_a_second_process_goes_on_with_the_talk(start: StartApp, database: str) -> None:
    one, two = start(database), start(database)
    talk = _open(one)
    _say(one, talk, "500 mL of 0.1 M copper sulfate")
    document = _say(two, talk, "the blue one")
    assert document["taken_for"] == "answer"
    assert _say(one, talk, "make that 250")["read_as"] == "Make 250 mL of 0.1 mol/L copper(II) sulfate pentahydrate"


def test_the_reply_is_the_one_of_plans_with_two_keys_more(running: Running) -> None:
    talk = _open(running)
    response = running.call("POST", f"/v1/conversations/{talk}/messages", json={"text": TALK[0]})
    asked = running.ask(TALK[0])
    one, two = response.json(), asked.json()
    assert one.pop("conversation") == talk
    assert one.pop("taken_for") == "new_request"
    assert one.pop("id") != two.pop("id")
    assert one == two
    assert response.headers["ETag"] == asked.headers["ETag"]
    assert running.get(response.headers["Content-Location"]).json()["outcome"] == "question"


def test_every_message_has_its_audit_entry_in_the_transaction_of_its_reply(start: StartApp, database: str) -> None:
    app = start(database)
    talk = _open(app)
    for text in TALK:
        _say(app, talk, text)
    engine = app.services.engine
    with engine.connect() as connection:
        entries = list(connection.execute(select(audit).order_by(audit.c.seq)))
        rows = list(connection.execute(select(conversations).order_by(conversations.c.seq)))
        stored = {row.id: row for row in connection.execute(select(plans))}
    assert [e.event for e in entries] == ["conversation.opened"] + ["plan.answered", "conversation.message"] * 3
    assert [r.n for r in rows] == [0, 1, 2, 3]
    for row in rows[1:]:
        entry = next(e for e in entries if e.seq == row.seq)
        told = orjson.loads(entry.body)
        assert (told["n"], told["plan"], told["taken_for"]) == (row.n, row.plan_id, row.taken_for)
        assert (entry.subject, entry.at) == (talk, row.at)
        assert stored[row.plan_id].seq == row.seq - 1
    assert log.verify(engine, Head(entries[-1].seq, entries[-1].hash)) is None
    assert altered_plan(engine) is None


def test_messages_sent_at_once_are_taken_one_after_the_other(running: Running) -> None:
    talk = _open(running)
    _say(running, talk, "250 mL of 0.1 M potassium chloride")

    async def all_at_once() -> list[int]:
        path = f"/v1/conversations/{talk}/messages"
        each = [running.client.post(path, json={"text": "double it"}) for _ in range(4)]
        return [r.status_code for r in await asyncio.gather(*each)]

    assert running.run(all_at_once()) == [200] * 4
    assert running.get(f"/v1/conversations/{talk}").json()["read_as"] == "Make 4000 mL of 0.1 mol/L potassium chloride"


def test_a_typed_option_is_an_answer_and_another_request_is_new(running: Running) -> None:
    talk = _open(running)
    option = _say(running, talk, TALK[0])["question"]["options"][1]["request"]  # type: ignore[index]
    path = f"/v1/conversations/{talk}/messages"
    chosen = running.call("POST", path, json={"request": option}).json()
    assert (chosen["taken_for"], chosen["outcome"]) == ("answer", "planned")
    other = {**option, "total": {"value": "100", "unit": "mL"}}
    assert running.call("POST", path, json={"request": other}).json()["taken_for"] == "new_request"


def test_the_examples_of_the_contract_are_what_the_talk_gives(running: Running) -> None:
    talk = _open(running)
    for text, example in zip(TALK, MESSAGES.values(), strict=True):
        document = _say(running, talk, text)
        for key in ("taken_for", "outcome", "read_as", "assumptions", "answer"):
            if key in example:
                assert key in document
        assert document["taken_for"] == example["taken_for"]
        assert document.get("assumptions") == example.get("assumptions")
        if "answer" in example:
            assert document["answer"]["text"].startswith(example["answer"]["text"])  # type: ignore[index]
