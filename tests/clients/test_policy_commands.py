"""policy show, list, diff, propose and confirm, as the safety officer of a small prep room types them."""

import json
from pathlib import Path

import pytest

from clients.cli.main import run

SODA = "0.8 M sodium hydroxide for 20 students, 50 mL each, 10 % spare"


@pytest.fixture(autouse=True)
def own_database(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PREPWRIGHT_DATABASE", str(tmp_path / "bench.sqlite3"))
    monkeypatch.delenv("PREPWRIGHT_SERVER", raising=False)
    monkeypatch.setenv("COLUMNS", "110")
    monkeypatch.chdir(tmp_path)


def _said(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    code = run(["policy", *arguments])
    out = capsys.readouterr()
    assert code == 0, out.err
    return " ".join(out.out.split())


def test_a_policy_is_shown_changed_proposed_and_confirmed(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["record", SODA, "--by", "PK", "--took", "1 g", "--failed", "spilt"]) in (0, 1)  # a plan is stored
    capsys.readouterr()
    document = json.loads(_said(capsys, "show", "--json"))
    document["name"], document["students"]["acids_and_alkalis_mol_L"] = "From January", 0.5
    Path("policy.json").write_text(json.dumps(document), "utf-8")
    told = _said(capsys, "diff", "policy.json")
    assert "/students/acids_and_alkalis_mol_L: 1 -> 0.5" in told
    assert "0 in force what is shipped" in _said(capsys, "list")
    assert _said(capsys, "propose", "policy.json", "--reason", "agreed").startswith("Proposal 1")
    assert "1 proposed" in _said(capsys, "list")
    told = _said(capsys, "confirm", "1", "--reason", "read")
    assert "in force: From January" in told and "one user" in told
    assert "acids_and_alkalis_mol_L 0.5" in _said(capsys, "show")
    assert "acids_and_alkalis_mol_L 1 " in _said(capsys, "show", "0") + " "
    document["students"]["acids_and_alkalis_mol_L"] = 0.4
    Path("policy.json").write_text(json.dumps(document), "utf-8")
    _said(capsys, "propose", "policy.json", "--reason", "stricter")
    assert "declined" in _said(capsys, "decline", "2", "--reason", "not yet")


@pytest.mark.parametrize(
    ("content", "arguments", "told"),
    [
        ("{", ["diff", "policy.json"], "is no JSON"),
        ("[]", ["diff", "policy.json"], "holds no policy"),
        ('{"limits": {"large_mL": -1}}', ["diff", "policy.json"], "/policy/limits/large_mL"),
        ('{"pack": "eu", "precursors": [{"substance": "nitric-acid", "above_pct": 50}]}', ["diff", "policy.json"], "3 % of the law"),
        ("{}", ["diff", "missing.json"], "cannot be read"),
        ("{}", ["confirm", "7", "--reason", "x"], "No proposal has this number"),
        ("{}", ["show", "7"], "No policy has this number"),
    ],
)
def test_what_cannot_be_done_with_a_policy_is_said(
    capsys: pytest.CaptureFixture[str], content: str, arguments: list[str], told: str
) -> None:
    Path("policy.json").write_text(content, "utf-8")
    assert run(["policy", *arguments]) == 1
    assert told in capsys.readouterr().err
