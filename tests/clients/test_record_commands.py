"""record, standardise, label and sheet on the own database, in this process and against a server."""

import json
from pathlib import Path

import pytest

from clients.cli.main import run

SALT = "250 mL of 0.100 M sodium chloride"


@pytest.fixture(autouse=True)
def own_database(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PREPWRIGHT_DATABASE", str(tmp_path / "bench.sqlite3"))
    monkeypatch.delenv("PREPWRIGHT_SERVER", raising=False)
    monkeypatch.chdir(tmp_path)


def recorded(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict[str, object]:
    assert run(["record", *arguments, "--by", "PK", "--json"]) == 0
    found: dict[str, object] = json.loads(capsys.readouterr().out)
    return found


def test_a_record_from_words_with_everything_said(capsys: pytest.CaptureFixture[str]) -> None:
    code = run(["record", SALT, "--by", "PK", "--took", "1.4607 g", "--lot", "4711", "--assay", "99.5", "--balance", "BA",
                "--vessel", "250:12", "--temperature", "20", "--water", "deionised", "--deviation", "stirred longer"])  # fmt: skip
    said = " ".join(capsys.readouterr().out.split())
    assert code == 0
    # 1.4607 g x 0.995 / 58.440 g/mol / 0.2500 L = 0.09948 mol/L
    for told in (
        "0.09948 mol/L",
        "lot 4711",
        "difference -0.52 %",
        "do not hold",
        "assay of the certificate",
        "use by",
    ):
        assert told in said


def test_a_correction_takes_what_is_given_and_keeps_the_rest(capsys: pytest.CaptureFixture[str]) -> None:
    first = recorded(capsys, SALT, "--took", "1.4160 g", "--lot", "4711")
    again = recorded(capsys, "--correct", str(first["id"]), "--reason", "digits swapped", "--took", "1.4610 g")
    assert again["entry"] == 2
    assert again["recorded"]["used"] == [{"readings": ["1.4610"], "unit": "g", "lot": "4711"}]  # type: ignore[index]
    assert run(["record", "--correct", str(first["id"]), "--by", "PK", "--took", "1.5 g"]) == 1
    assert "--reason" in capsys.readouterr().err


def test_several_things_and_several_portions(capsys: pytest.CaptureFixture[str]) -> None:
    took = [
        part
        for n, grams in enumerate(("8.0013", "0.2001", "1.4402", "0.2450"), 1)
        for part in ("--took", f"{n}={grams} g")
    ]
    made = recorded(capsys, "1 L of 1x PBS", *took, "--took", "1=0.0010 g", "--lot", "2=K77")
    used = made["used"]
    assert [u["readings"] for u in used] == [["8.0013", "0.0010"], ["0.2001"], ["1.4402"], ["0.2450"]]  # type: ignore[attr-defined]
    assert used[1]["lot"] == "K77"  # type: ignore[index]


def test_a_failure(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["record", SALT, "--by", "PK", "--took", "1.4610 g", "--failed", "not-dissolved"]) == 0
    said = capsys.readouterr().out
    assert "Failed: sodium chloride" in said
    assert "discard" in said


@pytest.mark.parametrize(
    ("text", "code"), [("500 mL of 0.1 M copper sulfate", 3), ("mix bleach with hydrochloric acid", 5)]
)
def test_words_that_give_no_plan_end_with_the_code_of_their_outcome(
    capsys: pytest.CaptureFixture[str], text: str, code: int
) -> None:
    assert run(["record", text, "--by", "PK", "--took", "1 g"]) == code
    assert "no plan to follow" in capsys.readouterr().err


def test_what_is_wrong_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["record", SALT, "--by", "PK", "--took", "1.4 stone"]) == 1
    assert "/used/0/unit" in capsys.readouterr().err
    assert run(["record", SALT, "--by", "PK", "--took", "1.4"]) == 1
    assert "lacks its unit" in capsys.readouterr().err
    assert run(["label", "0000000000"]) == 1
    assert "No preparation has this id" in capsys.readouterr().err


def test_a_standardisation_and_its_verdict(capsys: pytest.CaptureFixture[str]) -> None:
    made = recorded(capsys, "1 L of 0.1 M sodium hydroxide", "--took", "4.05 g")
    options = ["standardise", str(made["id"]), "--by", "PK", "--against", "KHP", "--assay", "100.0", "--blank", "0.02"]
    runs = [
        "--run",
        "0.5104/24.62",
        "--run",
        "0.5087/24.55",
        "--run",
        "0.5121/24.70",
        "--run",
        "0.5121/26",
        "--left-out",
        "4=rough",
    ]
    assert run([*options, *runs]) == 0
    said = capsys.readouterr().out
    assert "Accepted: 0.1016 mol/L" in said
    assert "next due" in said
    assert run([*options, *runs[:4]]) == 5
    assert "Not accepted" in capsys.readouterr().out
    assert run([*options, "--run", "0.51"]) == 1
    assert "slash" in capsys.readouterr().err


def test_labels_and_sheets_are_files(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    pytest.importorskip("typst", reason="the extra 'print' is not installed: pip install 'prepwright[print]'")
    made = recorded(capsys, SALT, "--took", "1.4610 g")
    identity = str(made["id"])
    for options, name in (
        (["label", identity, "--size", "small"], f"label-{identity}.pdf"),
        (["label", identity, "--waste"], f"waste-{identity}.pdf"),
        (["sheet", identity], f"sheet-{identity}.pdf"),
        (["sheet", SALT, "--out", "bench.pdf"], "bench.pdf"),
        (["label", SALT, "--nominal", "--copies", "3", "--out", "n.pdf"], "n.pdf"),
    ):
        assert run(options) == 0
        assert (tmp_path / name).read_bytes().startswith(b"%PDF")
    assert run(["label", SALT]) == 1
    assert run(["sheet", "make 100 mL of 0.150 M nickel chloride from the hexahydrate"]) == 1
    assert "nobody has approved it" in capsys.readouterr().err
