"""The command, run as a person or a script runs it."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
SALT = "250 mL of 0.1 M sodium chloride"


def prepwright(*arguments: str, text: str | bytes = "", **env: str) -> subprocess.CompletedProcess[bytes]:
    given = text.encode() if isinstance(text, str) else text
    return subprocess.run(
        [sys.executable, "-m", "clients.cli", *arguments],
        input=given,
        capture_output=True,
        cwd=ROOT,
        timeout=60,
        env={"PATH": os.environ["PATH"], "HOME": "/nonexistent", "PYTHONUTF8": "1", **env},
    )


def _json_lines(done: subprocess.CompletedProcess[bytes]) -> list[dict[str, Any]]:
    return [json.loads(line) for line in done.stdout.splitlines()]


@pytest.mark.parametrize(
    ("text", "code", "outcome"),
    [
        (SALT, 0, "planned"),
        ("mix sodium chloride with sucrose", 0, "answered"),
        ("500 mL of 0.1 M copper sulfate please", 3, "question"),
        ("250.0 mL of 0.200 M nickel sulfate from the hexahydrate", 4, "held"),
        ("1 L 0.1 M limewater", 5, "refused"),
        ("10 banana", 6, "not_understood"),
    ],
)
def test_each_outcome_has_its_exit_code(text: str, code: int, outcome: str) -> None:
    done = prepwright("ask", "--json", text)
    assert json.loads(done.stdout)["outcome"] == outcome
    assert done.returncode == code
    assert done.stderr == b""


def test_words_one_argument_and_standard_input_are_the_same_request() -> None:
    replies = {
        prepwright("ask", *SALT.split()).stdout,
        prepwright("ask", SALT).stdout,
        prepwright("ask", "-", text=SALT + "\n").stdout,
        prepwright("ask", text=SALT + "\r\n").stdout,
    }
    assert len(replies) == 1
    assert b"1.461" in replies.pop()


@pytest.mark.parametrize("arguments", [[], ["cook"], ["ask", "--colour", "x"], ["bulk"], ["serve", "--port", "many"]])
def test_wrong_usage_is_code_2_with_a_hint(arguments: list[str]) -> None:
    done = prepwright(*arguments)
    assert done.returncode == 2
    assert b"usage: prepwright" in done.stderr


@pytest.mark.parametrize(
    "arguments",
    [
        ["ask", "--server", "http://127.0.0.1:9", SALT],
        ["ask", "--server", "ftp://x", SALT],
        ["bulk", "/nowhere/at/all.csv"],
        ["rules", "no-such-rule"],
        ["rules", "--group", "nonsense"],
        ["serve", "--host", "0.0.0.0"],
        ["serve", "--db", "mysql://x"],
        ["serve", "--host", "203.0.113.7", "--open-to-network"],
    ],
)
def test_what_cannot_be_done_is_said_in_words_with_code_1(arguments: list[str]) -> None:
    done = prepwright(*arguments)
    assert done.returncode == 1
    assert done.stderr.startswith(b"prepwright: ")
    assert b"Traceback" not in done.stderr
    assert b"fault in the program" not in done.stderr


def test_no_colour_in_a_pipe() -> None:
    assert b"\x1b" not in prepwright("ask", SALT).stdout


def test_plain_ascii_where_the_terminal_has_no_more() -> None:
    done = prepwright(
        "ask",
        "2.5 L of 0.1 M HCl from the conc, bottle says 37.2 %, density 1.18",
        PYTHONUTF8="0",
        PYTHONIOENCODING="ascii",
    )
    assert done.returncode == 0
    assert done.stdout.isascii()
    assert b"MEASURE" in done.stdout


@pytest.mark.parametrize(
    "text", [b"\xff\xfe 100 mL", b"\x1b[2J\x07\x00", "\u202e".encode(), b"<b>", b"x" * 10_000, b""]
)
def test_hostile_text_is_answered_and_never_steers_the_terminal(text: bytes) -> None:
    done = prepwright("ask", "-", text=text)
    assert done.returncode == 6
    assert b"\x1b" not in done.stdout
    assert b"\x07" not in done.stdout
    assert "\u202e".encode() not in done.stdout
    assert done.stderr == b""


def test_bytes_that_are_no_text_as_an_argument() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "clients.cli", "ask", "--json", b"100 mL \xff"],
        capture_output=True,
        cwd=ROOT,
        timeout=60,
    )
    assert done.returncode == 6
    assert json.loads(done.stdout)["text"] == "100 mL \ufffd"


def test_a_reader_that_stops_early_gets_no_complaint(tmp_path: Path) -> None:
    many = tmp_path / "many.txt"
    many.write_text(f"{SALT}\n" * 2000)
    command = f"'{sys.executable}' -m clients.cli bulk '{many}' | head -n 1"
    done = subprocess.run(command, shell=True, capture_output=True, cwd=ROOT, timeout=60)
    assert json.loads(done.stdout)["outcome"] == "planned"
    assert done.stderr == b""


def test_bulk_answers_each_line_in_order_with_its_own_id() -> None:
    lines = [{"id": 7, "text": SALT}, {"text": ""}, {"id": "x", "nothing": 1}, {"id": "last", "text": "10 banana"}]
    given = "".join(json.dumps(line) + "\n" for line in lines) + "not json\n\n"
    done = prepwright("bulk", "-", text=given)
    replies = _json_lines(done)
    assert done.returncode == 0
    assert [r.get("ref") for r in replies] == [7, None, "x", "last", None, None]
    assert [r["outcome"] for r in replies] == ["planned"] + ["not_understood"] * 5
    assert [r["problem"]["code"] for r in replies[2:]].count("line-unreadable") == 3


def test_bulk_reads_plain_text_csv_and_its_own_replies(tmp_path: Path) -> None:
    texts = [SALT, "1,5 M NaCl 250ml", "10 banana"]
    plain = prepwright("bulk", "-", text="\n".join(texts))
    table = tmp_path / "requests.csv"
    table.write_text(
        '\ufeffID,Text\r\na,"250 mL of 0.1 M sodium chloride"\r\nb,"1,5 M NaCl 250ml"\r\nc,10 banana\r\n', "utf-8"
    )
    out = tmp_path / "replies.jsonl"
    done = prepwright("bulk", str(table), "--out", str(out))
    assert (done.returncode, done.stdout) == (0, b"")
    replies = [json.loads(line) for line in out.read_text().splitlines()]
    assert [r.pop("ref") for r in replies] == ["a", "b", "c"]
    assert replies == _json_lines(plain)
    requests = "".join(json.dumps({"request": r["request"]}) + "\n" for r in replies[:2])
    assert _json_lines(prepwright("bulk", "-", text=requests)) == replies[:2]


def test_bulk_answers_a_program_that_waits_for_each_line() -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "clients.cli", "bulk", "-", "--format", "text"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        cwd=ROOT,
    ) as process:
        assert process.stdin
        assert process.stdout
        for _ in range(3):
            process.stdin.write(SALT.encode() + b"\n")
            process.stdin.flush()
            assert json.loads(process.stdout.readline())["outcome"] == "planned"
        process.stdin.close()
        assert process.wait(20) == 0


def test_chat_takes_a_question_s_answer_by_number_or_name() -> None:
    done = prepwright(
        "chat",
        text="500 mL of 0.1 M copper sulfate\n2\n500 mL of 0.1 M copper sulfate\nanhydrous copper(II) sulfate\nquit\nnever\n",
    )
    said = done.stdout.decode()
    assert done.returncode == 0
    assert said.count("QUESTION") == 2
    assert said.index("12.48") < said.index("  WEIGH") < said.rindex("  WEIGH")
    assert said.count("  WEIGH") == 2
    assert "WEIGH    12.48" in said
    assert "WEIGH    7.98" in said


def test_rules_and_substances_are_listed_and_explained() -> None:
    listed = prepwright("rules").stdout.decode()
    assert "beyond-solubility" in listed
    explained = prepwright("rules", "beyond-solubility").stdout.decode()
    assert "SEEN AT WORK" in explained
    assert prepwright("substances", "copper", "sulphate").stdout.startswith(b"copper(II) sulfate")
    unknown = prepwright("substances", "sodium clorid")
    assert unknown.returncode == 6
    assert b"sodium chloride" in unknown.stdout
