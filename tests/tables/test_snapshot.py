"""The snapshot of the tables gives what the CSV files give, and is never used for other data."""

import marshal
from collections.abc import Iterator
from pathlib import Path

import pytest

from rules.tables import behaviour, snapshot, substances


@pytest.fixture
def nothing_kept() -> Iterator[None]:
    """No snapshot in use before or after, and no loader that remembers one."""
    held = dict(snapshot._in_use)
    forget()
    yield
    forget()
    snapshot._in_use.update(held)


def forget() -> None:
    snapshot._in_use.clear()
    for loader in (behaviour._traits, behaviour.behaviours, substances._plain, substances._index, substances.by_name,
                   substances.substance, substances._by_composition, substances.by_formula):  # fmt: skip
        loader.cache_clear()



def everything() -> tuple[object, ...]:
    return substances.all_substances(), substances._index(), substances._by_composition(), behaviour._traits()


@pytest.mark.usefixtures("nothing_kept")
def test_tables_from_the_snapshot_equal_those_from_the_files(tmp_path: Path) -> None:
    read = everything()
    assert snapshot.write(tmp_path / "tables")
    forget()
    assert snapshot.use(tmp_path / "tables")
    assert snapshot.kept("tables/behaviour")
    assert everything() == read


@pytest.mark.usefixtures("nothing_kept")
def test_a_snapshot_of_other_data_is_made_anew_or_left_unused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "tables"
    file.write_bytes(marshal.dumps(("of other data", {"tables/behaviour": marshal.dumps([])})))
    monkeypatch.setattr("sys.dont_write_bytecode", True)
    assert not snapshot.use(file)
    assert snapshot.kept("tables/behaviour") is None
    monkeypatch.setattr("sys.dont_write_bytecode", False)
    assert snapshot.use(file)
    assert snapshot.kept("tables/behaviour")
    assert marshal.loads(file.read_bytes())[0] != "of other data"


@pytest.mark.usefixtures("nothing_kept")
@pytest.mark.parametrize("content", [b"", b"\x00", b"not a snapshot", marshal.dumps(7), marshal.dumps(("x", 1))])
def test_a_damaged_snapshot_is_not_used(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, content: bytes) -> None:
    (tmp_path / "tables").write_bytes(content)
    monkeypatch.setattr("sys.dont_write_bytecode", True)
    assert not snapshot.use(tmp_path / "tables")


@pytest.mark.usefixtures("nothing_kept")
def test_a_folder_that_cannot_be_written_is_no_fault(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    assert snapshot.write(tmp_path / "file" / "tables")
    assert substances.by_name("table salt")


def test_the_fingerprint_changes_with_the_data() -> None:
    assert snapshot._fingerprint("one") != snapshot._fingerprint("other")
