"""prepwright shelf on the own database, in this process and against a server."""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from clients.cli.main import run
from tests.crash.servers import start_server

SALT = ["sodium", "chloride", "--amount", "500 g", "--place", "cabinet A1", "--by", "PK"]


@pytest.fixture(autouse=True)
def own_database(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PREPWRIGHT_DATABASE", str(tmp_path / "shelf.sqlite3"))
    monkeypatch.setenv("PREPWRIGHT_HEAD_FILE", str(tmp_path / "head"))
    monkeypatch.delenv("PREPWRIGHT_SERVER", raising=False)
    monkeypatch.chdir(tmp_path)


def shelf(capsys: pytest.CaptureFixture[str], *arguments: str, code: int = 0) -> str:
    assert run(["shelf", *arguments]) == code
    said = capsys.readouterr()
    return " ".join((said.err if code else said.out).split())


def added(capsys: pytest.CaptureFixture[str], *more: str) -> str:
    found: str = json.loads(shelf(capsys, "add", *SALT, *more, "--json"))["id"]
    return found


def test_the_example_is_one_command_and_a_second_time_changes_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    first = shelf(capsys, "example")
    assert first.startswith("57 put on the shelf")
    assert "Alder Vale College does not exist" in first
    assert shelf(capsys, "example").startswith("0 put on the shelf; 57 on it already")
    assert "potassium iodide, 6.2 of 250 g" in shelf(capsys, "list", "--low", "5")
    assert "QUARANTINED: supplier's notice" in shelf(capsys, "list", "--state", "quarantined")
    assert shelf(capsys, "list", "--substance", "copper(II) sulfate pentahydrate").startswith("2 bottles")
    assert "EXPIRED: its last day was 2025-09-30" in shelf(capsys, "list", "--expiring", "0")


def test_invented_bottles_do_not_go_among_real_ones_unasked(capsys: pytest.CaptureFixture[str]) -> None:
    added(capsys)
    assert "--beside" in shelf(capsys, "example", code=1)
    assert shelf(capsys, "list").startswith("1 bottle ")
    assert shelf(capsys, "example", "--beside").startswith("57 put on the shelf")


def test_a_bottle_from_delivery_to_recall(capsys: pytest.CaptureFixture[str]) -> None:
    bottle = added(capsys, "--lot", "L7", "--assay", "99.8", "--expiry", "2031-06-30")
    shelf(capsys, "event", bottle, "reserve", "--amount", "60 g", "--by", "PK")
    number = str(json.loads(shelf(capsys, "show", bottle, "--json"))["history"][0]["number"])
    assert "440 g left and not reserved" in shelf(
        capsys, "event", bottle, "take", "--amount", "450 g", "--by", "PK", code=1
    )
    shelf(
        capsys, "event", bottle, "take", "--amount", "60 g", "--reservation", number, "--by", "PK", "--reason", "week 5"
    )
    shelf(capsys, "event", bottle, "hand-out", "--amount", "40 g", "--to", "Chemistry 2, room 14", "--by", "PK")
    assert (
        run(
            ["record", "250 mL of 0.100 M sodium chloride", "--by", "PK", "--took", "1.4610 g", "--lot", "L7", "--json"]
        )
        == 0
    )
    made = json.loads(capsys.readouterr().out)["id"]
    done = shelf(capsys, "event", bottle, "quarantine", "--reason", "supplier recalled the lot", "--by", "PK")
    assert f"{made} preparation from {bottle}" in done
    said = shelf(capsys, "show", bottle)
    for told in ("held 500 g", "left 400 g, of which 400 g free", "quarantined: supplier recalled the lot",
                 "take, 60 g, reservation", "hand-out, 40 g, to Chemistry 2, room 14", "QUARANTINED", made):  # fmt: skip
        assert told in said
    assert "is quarantined" in shelf(capsys, "event", bottle, "take", "--amount", "1 g", "--by", "PK", code=1)


def test_a_solution_is_added_with_its_strength(capsys: pytest.CaptureFixture[str]) -> None:
    said = shelf(capsys, "add", "hydrochloric", "acid", "--strength", "37 % w/w", "--amount", "2500 mL", "--density", "1.185",
                 "--place", "acid cupboard", "--by", "PK")  # fmt: skip
    assert "hydrochloric acid 37 % w/w, 2500 of 2500 mL, acid cupboard" in said


def test_an_import_is_tried_before_it_is_confirmed(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    table = tmp_path / "delivery.csv"
    table.write_text(
        "substance,amount,unit,place\nsodium chloride,500,g,cabinet A1\npotassium chloride,250,g,cabinet A1\n"
    )
    tried = shelf(capsys, "import", "delivery.csv", "--by", "PK")
    assert tried.startswith("2 would be put on the shelf; --confirm does it new row 2: sodium chloride, 500 of 500 g")
    assert shelf(capsys, "list").startswith("0 bottles")
    assert shelf(capsys, "import", "delivery.csv", "--by", "PK", "--confirm").startswith("2 put on the shelf")
    assert shelf(capsys, "export", "out.csv") == "written: out.csv"
    assert shelf(capsys, "export").startswith("id,substance,form")
    assert shelf(capsys, "import", "out.csv", "--confirm").startswith("0 put on the shelf; 2 on it already")


@pytest.mark.parametrize("more", [[], ["--confirm"], ["--json"]])
def test_rows_with_faults_are_said_and_nothing_is_stored(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, more: list[str]
) -> None:
    (tmp_path / "x.csv").write_text("substance,amount,unit,place\nsodium chloride,half,g,A1\nsodium chloride,5,g,A1\n")
    assert run(["shelf", "import", "x.csv", "--by", "PK", *more]) == 1
    said = capsys.readouterr()
    if more == ["--json"]:
        assert json.loads(said.out)["errors"][0]["column"] == "amount"
    else:
        assert "1 row cannot be used; nothing was put on the shelf" in said.err
        assert "row 2, amount: is no number" in said.err
    assert shelf(capsys, "list").startswith("0 bottles")


def test_what_expires_soon_is_listed_with_preparations(capsys: pytest.CaptureFixture[str]) -> None:
    day = (datetime.now(UTC).date() + timedelta(days=9)).isoformat()
    bottle = added(capsys, "--expiry", day)
    assert run(["record", "250 mL of 0.100 M sodium chloride", "--by", "PK", "--took", "1.4610 g"]) == 0
    capsys.readouterr()
    soon = shelf(capsys, "expiring")
    assert soon.startswith(f"1 at or past the last day in 30 days {day} in 9 days: bottle {bottle}, sodium chloride")
    assert "preparation" in shelf(capsys, "expiring", "--within", "3650")


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["show", "0000000000"], "Nothing on the shelf has this id"),
        (["add", "copper", "sulfate", *SALT[2:]], "/name"),
        (["add", "sodium", "chloride", "--amount", "500", "--place", "A1", "--by", "PK"], "lacks its unit"),
        (["add", *SALT[2:]], "either name or preparation"),
        (["import", "nowhere.csv"], "cannot be read"),
        (["export", "no/such/folder.csv"], "cannot be written"),
        (["list", "--substance", "unobtainium"], "substance"),
        (["expiring", "--within", "-1"], "within_days"),
    ],
)
def test_what_cannot_be_done_is_said_in_words(
    capsys: pytest.CaptureFixture[str], arguments: list[str], told: str
) -> None:
    said = shelf(capsys, *arguments, code=1)
    assert told in said
    assert "fault in the program" not in said


def test_the_same_against_a_server(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    server, port = start_server(str(tmp_path / "plans.sqlite3"), tmp_path)
    try:
        at = ["--server", f"http://127.0.0.1:{port}"]
        for first, said in (("57 put on", ""), ("0 put on", "57 on it already")):
            assert run(["shelf", *at, "example"]) == 0
            told = capsys.readouterr().out
            assert told.startswith(first)
            assert said in told
        assert run(["shelf", *at, "export", "there.csv"]) == 0
        capsys.readouterr()
    finally:
        server.terminate()
        server.wait(20)
    assert shelf(capsys, "import", "there.csv", "--confirm").startswith("57 put on the shelf")
    shelf(capsys, "export", "here.csv")
    assert (tmp_path / "here.csv").read_bytes() == (tmp_path / "there.csv").read_bytes()
