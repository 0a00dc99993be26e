"""The loader refuses every kind of bad table, and says where and what to do."""

import csv
from pathlib import Path

import pytest

from rules.tables import load
from rules.tables.load import POLICIES, TABLES, TableError, rows

GOOD = (
    "substance,value,kind,source_id,locator\n"
    "sodium-chloride,35.9,measured,crc-98,page 5\n"
    "potassium-chloride,34.2,measured,crc-98,page 5\n"
)
SOURCES = (
    "source_id,reference,kind,url,note\n"
    "crc-98,a handbook,handbook,,\n"
    "practice,common practice,practice,,\n"
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "sources.csv").write_text(SOURCES, encoding="utf-8")
    (tmp_path / "facts.csv").write_text(GOOD, encoding="utf-8")
    load._sources.cache_clear()
    return tmp_path


def read(folder: Path) -> list[dict[str, str]]:
    return rows("facts", key=("substance",), filled=("value",), numeric={"value": (0, 100)},
                choices={"kind": frozenset({"measured"})}, folder=folder)


def test_a_good_table_gives_its_rows(folder: Path) -> None:
    assert [r["value"] for r in read(folder)] == ["35.9", "34.2"]


def test_parts_are_read_as_one_table(folder: Path) -> None:
    (folder / "facts.more.csv").write_text(GOOD.splitlines()[0] + "\nlithium-chloride,84,measured,crc-98,page 5\n")
    assert len(read(folder)) == 3


@pytest.mark.parametrize(
    ("wrong", "column", "fault"),
    [
        (GOOD.replace("crc-98", "crc-99", 1), "source_id", "unknown source 'crc-99'"),
        (GOOD.replace("page 5", "", 1), "locator", "no place"),
        (GOOD.replace("potassium", "sodium"), "substance", "already given in facts.csv, line 2"),
        (GOOD.replace("35.9", "359"), "value", "outside 0 to 100"),
        (GOOD.replace("35.9", "36,0"), "locator", "6 cells where the header has 5"),
        (GOOD.replace("35.9", "much"), "value", "not a number"),
        (GOOD.replace("35.9", ""), "value", "empty"),
        (GOOD.replace("measured", "guessed", 1), "kind", "'guessed' is not one of measured"),
        (GOOD.replace("value,kind", "val,kind"), "value", "missing"),
        (GOOD.replace("sodium-chloride", '"sodium-chloride'), "substance", ""),
    ],
)
def test_each_fault_is_named(folder: Path, wrong: str, column: str, fault: str) -> None:
    (folder / "facts.csv").write_text(wrong, encoding="utf-8")
    with pytest.raises(TableError) as caught:
        read(folder)
    assert caught.value.file == "facts.csv"
    assert caught.value.column == column
    assert fault in caught.value.fault
    assert caught.value.line > 0
    assert caught.value.remedy in str(caught.value)


def test_a_missing_table_is_refused(folder: Path) -> None:
    with pytest.raises(TableError, match="the table is missing"):
        rows("nothing", folder=folder)


def test_practice_needs_no_page(folder: Path) -> None:
    (folder / "facts.csv").write_text(GOOD.replace("crc-98,page 5", "practice,", 1), encoding="utf-8")
    assert len(read(folder)) == 2


@pytest.mark.parametrize("path", sorted([*TABLES.glob("*.csv"), *POLICIES.glob("*.csv")]), ids=lambda p: p.name)
def test_every_shipped_file_is_whole_and_cited(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert "\r" not in text
    assert not any(line.endswith(" ") for line in text.splitlines())
    table = list(csv.DictReader(text.splitlines(), strict=True))
    assert table
    header = set(table[0])
    if path.stem.startswith("sources") or "source_id" not in header:
        return
    for row in table:
        load.source(row["source_id"])
        assert None not in row
        assert None not in row.values()


def test_the_data_version_changes_with_the_data(monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    assert len(load.data_version()) == 12
    monkeypatch.setattr(load, "TABLES", folder)
    load.data_version.cache_clear()
    before = load.data_version()
    (folder / "facts.csv").write_text(GOOD.replace("35.9", "36.0"), encoding="utf-8")
    load.data_version.cache_clear()
    after = load.data_version()
    load.data_version.cache_clear()
    assert before != after
