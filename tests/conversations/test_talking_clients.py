"""The conversation at the command line and in bulk."""

import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from clients.api import Server
from clients.transport import InProcess
from tests.crash.servers import start_server

TALK = ("500 mL of 0.1 M copper sulfate", "the blue one", "make that 250 instead", "which flask?")


def _run(*arguments: str, text: str) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "clients.cli", *arguments],
        input=text.encode(),
        capture_output=True,
        timeout=60,
        cwd=Path(__file__).parents[2],
        check=True,
    )
    return done.stdout.decode()


def _bulk(lines: list[dict[str, Any]], *more: str) -> list[dict[str, Any]]:
    out = _run("bulk", "-", *more, text="".join(json.dumps(line) + "\n" for line in lines))
    return [json.loads(line) for line in out.splitlines()]


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    folder = tmp_path_factory.mktemp("server")
    server, port = start_server(str(folder / "plans.sqlite3"), folder)
    yield f"http://127.0.0.1:{port}"
    server.terminate()
    server.wait(20)


def test_chat_says_what_each_line_was_taken_for() -> None:
    said = _run("chat", text="\n".join((*TALK, ":state", "fhqwhgads", ":quit", "never")))
    for part in (
        "a new request",
        "the answer",
        "a change of the request",
        "a question about the plan",
        "not understood",
    ):
        assert part in said
    assert "6.242 g" in said
    assert "request   Make 250 mL of 0.1 mol/L copper(II) sulfate pentahydrate" in said
    assert "never" not in said


def test_chat_shows_an_empty_state_and_an_open_question() -> None:
    said = _run("chat", text=f":state\n{TALK[0]}\n:state\n")
    assert "Nothing is kept yet." in said
    assert "open      Which copper(II) sulfate is it?" in said


def test_bulk_lines_of_one_conversation_share_their_state() -> None:
    lines = [
        {"id": 1, "text": TALK[0], "conversation": "a"},
        {"id": 2, "text": "250 mL of 0.1 M sodium chloride", "conversation": "b"},
        {"id": 3, "text": TALK[1], "conversation": "a"},
        {"id": 4, "text": "make that 500", "conversation": "b"},
        {"id": 5, "text": "make that 500"},
        {"id": 6, "text": "thanks", "conversation": 7},
    ]
    replies = _bulk(lines)
    assert [r["ref"] for r in replies] == [1, 2, 3, 4, 5, 6]
    assert [r.get("conversation") for r in replies] == ["a", "b", "a", "b", None, "7"]
    assert [r["outcome"] for r in replies] == [
        "question",
        "planned",
        "planned",
        "planned",
        "not_understood",
        "answered",
    ]
    assert replies[2]["plan"]["measure"][0]["amount"]["display"] == "12.48 g"
    assert replies[3]["plan"]["measure"][0]["amount"]["value"] == pytest.approx(2.92199, rel=1e-4)
    assert "taken_for" not in replies[4]


def test_a_bulk_line_with_a_conversation_of_another_kind_is_said_to_be_unreadable() -> None:
    (reply,) = _bulk([{"text": "x", "conversation": ["a"]}])
    assert reply["problem"]["code"] == "line-unreadable"


def test_csv_lines_may_name_their_conversation() -> None:
    out = _run("bulk", "-", "--format", "csv", text=f'text,conversation\n"{TALK[0]}",a\n{TALK[1]},a\n')
    assert [json.loads(line)["outcome"] for line in out.splitlines()] == ["question", "planned"]


def test_a_server_takes_a_talk_as_this_process_does(address: str) -> None:
    there, here = Server(address), InProcess()
    for text in TALK:
        stored, draft = there.converse("x", text), here.converse("x", text)
        for one in (stored, draft):
            one.pop("id")
            one.pop("conversation")
        assert stored == json.loads(json.dumps(draft))
    kept = there.conversation("x")
    assert kept["request"] == here.conversation("x")["request"]
    assert there.conversation("y") == {}
    lines = [{"text": text, "conversation": "a"} for text in TALK]
    pairs = zip(_bulk(lines, "--server", address), _bulk(lines), strict=True)
    assert all(one["conversation"] == "a" and one["taken_for"] == two["taken_for"] for one, two in pairs)
