"""The main job, shown alike through the command line, the API and bulk. Masses worked out by hand from CIAAW atomic weights."""

import io
import json
import sys
from typing import Any

import pytest

from clients.cli.main import run
from tests.conftest import Running

#: typed text, outcome, amount in its fixed unit (None: no plan), words that must stand in the reply.
TABLE = [
    ("make 100 mL of 0.05 M copper chloride dihydrate", "planned", 0.85238, ["170.48 g/mol", "100 mL volumetric flask"]),
    ("500 mL of 0.1 M copper sulfate please", "question", None, ["12.48 g", "7.98"]),
    (
        "250.0 mL of 0.200 M nickel sulfate from the hexahydrate", "held", 13.142,
        ["13.142 g", "13.1 g", "13.11 g", "13.17 g", "3.00 % w/w"],
    ),
    (
        "2.5 L of 0.1 M HCl from the conc, bottle says 37.2 %, density 1.18", "planned", 20.764,
        ["20.8 mL", "12.04 mol/L", "acid-to-water", "fume cupboard"],
    ),
    (
        "0.5 M sodium hydroxide 500 mL", "planned", 9.9992,
        ["cannot be made exact by weighing", "about 5 degC", "1.96 %", "2 %", "stricter class"],
    ),
    ("1 L 0.1 M limewater", "refused", None, ["0.02", "saturated"]),
    ("100 mL of 0.00020 M potassium permanganate", "planned", None, ["3.16 mg", "stock_then_dilute", "flask"]),
    # 0.375 mol x 58.4397 g/mol is 21.9149 g; with the rounded 58.44 it would read 21.92 g.
    ("1,5 M NaCl 250ml", "planned", 21.9149, ["21.91 g"]),
    ("CuSO4.5H2O 0.1 mol dm-3 250 cm3", "planned", 6.2419, ["249.68 g/mol"]),
    ("NiSO4.6H2O 0.1 M 250 mL", "held", 6.5710, ["262.84 g/mol"]),
    ("Na2CO3.10H2O 0.1 M 250 mL", "planned", 7.1535, ["286.14 g/mol"]),
    ("0.1 m HCl 1 L", "question", None, ["molar", "molal"]),
    ("0.1 N potassium dichromate 1 L", "question", None, ["4.903 g", "redox"]),
    ("20 M NaCl, 500 mL", "refused", None, ["5.4 mol/L"]),
    ("25 M HCl 100 mL", "refused", None, ["12.4 mol/L"]),
    ("500 mL of 2 M HCl from 0.5 M HCl", "refused", None, ["cannot be made from 0.5 mol/L"]),
    ("120 % w/w sodium hydroxide, 100 g", "refused", None, ["100 %"]),
    ("mix bleach with hydrochloric acid", "refused", None, ["chlorine", '"approvable":false']),
    ("5 % HF in a glass flask, 250 mL", "refused", None, ["dissolves glass"]),
    ("250 mL of 0.1 M NaCl in a 250 mL conical flask", "planned", 1.4610, ["volumetric flask", "vessel-not-accurate"]),
    ("", "not_understood", None, ["remedy"]),
    ("0.1", "not_understood", None, ["remedy"]),
    ("\U0001f9ea\U0001f4a5", "not_understood", None, ["remedy"]),
    ("x" * 10_000, "not_understood", None, ["remedy"]),
    ("'; DROP TABLE plans; --", "not_understood", None, ["remedy"]),
    ("<b>bold</b>", "not_understood", None, ["remedy"]),
]  # fmt: skip
CASES = pytest.mark.parametrize(("text", "outcome", "amount", "words"), TABLE, ids=[case[0][:40] or "empty" for case in TABLE])


def same(document: dict[str, Any]) -> dict[str, Any]:
    """The reply without what the store or the line adds."""
    return {key: value for key, value in document.items() if key not in ("id", "ref")}


def command(text: str, capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    run(["ask", "--json", "--", text])
    return dict(json.loads(capsys.readouterr().out))


@CASES
def test_every_way_in_gives_the_reply_expected(
    text: str, outcome: str, amount: float | None, words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    reply = command(text, capsys)
    assert reply["outcome"] == outcome
    said = json.dumps(reply, separators=(",", ":"), ensure_ascii=False)
    assert [w for w in words if w not in said] == []
    assert "Traceback" not in said
    if amount is not None:
        assert reply["plan"]["measure"][0]["amount"]["value"] == pytest.approx(amount, rel=5e-5)
    if outcome not in ("planned", "held"):
        assert "plan" not in reply


def test_bulk_gives_the_same_replies(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    lines = "".join(json.dumps({"id": n, "text": case[0]}) + "\n" for n, case in enumerate(TABLE))
    monkeypatch.setattr(sys, "stdin", type("Stdin", (), {"buffer": io.BytesIO(lines.encode())})())
    sink = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", type("Stdout", (), {"buffer": sink, "flush": staticmethod(lambda: None)})())
    run(["bulk", "-", "--format", "jsonl"])
    monkeypatch.undo()
    replies = [json.loads(line) for line in sink.getvalue().splitlines()]
    assert [same(r) for r in replies] == [same(command(case[0], capsys)) for case in TABLE]


def test_the_api_gives_the_same_replies(running: Running, capsys: pytest.CaptureFixture[str]) -> None:
    for text, *_ in TABLE:
        got = running.ask(text)
        assert got.status_code == 200, text
        # A held plan's reply also names the approval it waits for.
        mine, served = same(command(text, capsys)), same(got.json())
        assert {key: served.get(key) for key in mine} == mine, text
