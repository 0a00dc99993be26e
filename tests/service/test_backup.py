"""A backup holds every row and restores to a store with the same log, on either database and from one to the other."""

import zipfile
from pathlib import Path

import pytest
from sqlalchemy import MetaData, select

from service.audit import log
from service.store.backup import BackupError, backup, restore
from service.store.engine import open_engine
from tests.conftest import StartApp

SALT = "250 mL of 0.1 M sodium chloride"


def _rows(engine: object) -> dict[str, list[tuple[object, ...]]]:
    found = MetaData()
    with engine.connect() as connection:  # type: ignore[attr-defined]
        found.reflect(connection)
        return {
            table.name: sorted((tuple(row) for row in connection.execute(select(table))), key=repr)
            for table in found.sorted_tables
        }


@pytest.fixture
def filled(start: StartApp, database: str, tmp_path: Path) -> tuple[object, Path]:
    running = start(database)
    plan = running.ask(SALT).json()["id"]
    running.ask("1 L of 2 M nitric acid")
    body = {"by": "AB", "used": [{"readings": ["1.4702"], "unit": "g", "lot": "4711"}]}
    assert running.call("POST", f"/v1/plans/{plan}/preparations", json=body).status_code == 201
    target = tmp_path / "kept.zip"
    backup(running.services.engine, target)  # while the service runs
    return running.services.engine, target


def test_a_restored_store_holds_the_same_rows_and_the_same_log(filled: tuple[object, Path], tmp_path: Path) -> None:
    engine, file = filled
    other = open_engine(f"sqlite:///{tmp_path / 'other.sqlite3'}", 5.0)
    head = restore(other, file)
    assert log.verify(other, head) is None
    assert _rows(other) == _rows(engine)
    other.dispose()


def test_nothing_is_overwritten(filled: tuple[object, Path]) -> None:
    engine, file = filled
    with pytest.raises(BackupError, match="there already"):
        backup(engine, file)  # type: ignore[arg-type]
    with pytest.raises(BackupError, match="not empty"):
        restore(engine, file)  # type: ignore[arg-type]


def test_a_backup_that_was_changed_restores_nothing(filled: tuple[object, Path], tmp_path: Path) -> None:
    _, file = filled
    lines = tmp_path / "cut.zip"
    with zipfile.ZipFile(file) as old, zipfile.ZipFile(lines, "w") as new:
        for name in old.namelist():
            content = old.read(name)
            new.writestr(name, content.rpartition(b"\n{")[0] + b"\n" if name == "tables/audit.jsonl" else content)
    other = open_engine(f"sqlite:///{tmp_path / 'other.sqlite3'}", 5.0)
    with pytest.raises(BackupError, match="not as it was written"):
        restore(other, lines)
    with other.connect() as connection:
        assert log.head(connection).seq == 0
    with pytest.raises(BackupError, match="no backup"):
        restore(other, Path(__file__))
    other.dispose()
