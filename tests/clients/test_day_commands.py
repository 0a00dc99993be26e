"""day make, show, sheet and list, from every kind of file."""

import io
import json
import sys
from pathlib import Path
from typing import Any

import pytest

from clients.cli.day_file import read_day
from clients.cli.main import run
from clients.errors import AskError

CSV = """text,needed_by,to,students,group_size,each_mL,spare_percent
0.1 M sodium chloride,2027-01-19,Chemistry 2,24,2,25,10
500 mL of 0.100 M sodium chloride,,,,,,
"""


@pytest.fixture(autouse=True)
def own_store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PREPWRIGHT_DATABASE", str(tmp_path / "days.sqlite3"))
    monkeypatch.delenv("PREPWRIGHT_SERVER", raising=False)
    monkeypatch.chdir(tmp_path)


def test_a_day_is_made_shown_listed_and_printed(capsys: pytest.CaptureFixture[str]) -> None:
    Path("week.csv").write_text(CSV, "utf-8")
    assert run(["day", "make", "week.csv", "--date", "2027-01-18", "--json"]) == 0
    day = json.loads(capsys.readouterr().out)
    # 12 pairs x 25 mL and a tenth are 330 mL; with 500 mL: 830 mL x 0.1 mol/L x 58.44 g/mol = 4.851 g
    assert day["preparations"][0]["total"]["value"] == 830.0
    assert day["pick_list"][0]["amount"]["display"].startswith("4.85")
    assert run(["day", "show", day["id"]]) == 0
    said = " ".join(capsys.readouterr().out.split())
    for told in ("Prep day", "do 1", "24 students in pairs: 12 pairs", "330 + 500 = 830 mL", "fetch", "Chemistry 2"):
        assert told in said
    assert run(["day", "list"]) == 0
    assert f"{day['id']}" in capsys.readouterr().out
    pytest.importorskip("typst", reason="the extra 'print' is not installed: pip install 'prepwright[print]'")
    assert run(["day", "sheet", day["id"], "--out", "monday.pdf"]) == 0
    assert Path("monday.pdf").read_bytes().startswith(b"%PDF")


def test_what_stands_apart_is_said(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    typed = io.TextIOWrapper(io.BytesIO(b"500 mL of 6 M nitric acid\n\n500 mL of 0.1 M copper sulfate\n"))
    monkeypatch.setattr(sys, "stdin", typed)
    assert run(["day", "make", "-", "--date", "2027-01-18"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "apart: line 1" in said
    assert "ready not before it is approved" in said
    assert "copper(II) sulfate pentahydrate" in said


@pytest.mark.parametrize(
    ("content", "requests"),
    [
        ("1 L of 0.1 M NaCl\n2 L of 0.2 M KCl\n", [{"text": "1 L of 0.1 M NaCl"}, {"text": "2 L of 0.2 M KCl"}]),
        ('{"text": "1 L of 0.1 M NaCl", "to": "B2"}\n{"text": "x"}\n', [{"text": "1 L of 0.1 M NaCl", "to": "B2"}, {"text": "x"}]),
        ('{"date": "2027-01-18", "requests": [{"text": "x"}]}', [{"text": "x"}]),
        ('text,rinse_mL,rinses,students,each_mL\n"0.1 M NaCl",5,2,10,20\n',
         [{"text": "0.1 M NaCl", "class_set": {"each": {"value": "20", "unit": "mL"}, "rinse": {"value": "5", "unit": "mL"},
                                                "students": 10, "rinses": 2}}]),
    ],
)  # fmt: skip
def test_every_kind_of_file(content: str, requests: list[Any]) -> None:
    Path("day").write_text(content, "utf-8")
    assert read_day("day", "2027-01-18") == {"date": "2027-01-18", "requests": requests}


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("text,colour\nx,y\n", "columns that are not known"),
        ("text,students\nx,many\n", "whole number"),
        ("text,to\nx,y,z\n", "more cells"),
        ('{"text": "x"}\n{"text"\n', "Line 2 is no JSON"),
    ],
)
def test_a_file_that_cannot_be_used(content: str, said: str) -> None:
    Path("day").write_text(content, "utf-8")
    with pytest.raises(AskError, match=said):
        read_day("day", "2027-01-18")


def test_a_day_must_be_said_and_the_file_be_there(capsys: pytest.CaptureFixture[str]) -> None:
    Path("day").write_text("1 L of 0.1 M NaCl\n", "utf-8")
    assert run(["day", "make", "day"]) == 1
    assert "--date" in capsys.readouterr().err
    assert run(["day", "make", "none", "--date", "2027-01-18"]) == 1
    assert "cannot be read" in capsys.readouterr().err
