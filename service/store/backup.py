"""A backup of the whole store in one file, and a store made anew from it, on either database.

The file is a zip: ``manifest.json`` and a file of JSON lines for each table. It is read in one snapshot while the service
runs. Restoring is one transaction into an empty store, kept only when every row is there and the audit chain is whole.
"""

import base64
import hashlib
import json
import os
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import orjson
from sqlalchemy import Connection, Engine, MetaData, Table, func, insert, select, text

from service.audit import log
from service.audit.chain import Head, check
from service.store.engine import is_sqlite, writing
from service.store.migrate import migrate

FORMAT = 1
CHUNK = 500
_REVISION = "alembic_version"


class BackupError(ValueError):
    """The file is no whole backup, or the store is no place to restore it to; the message says which."""


def backup(engine: Engine, target: Path) -> dict[str, int]:
    """Write the store to a new file; the rows of each table. Raises BackupError where the file is there already."""
    if target.exists():
        raise BackupError(f"{target} is there already; choose another name")
    part = target.with_name(f"{target.name}.part")
    migrate(engine)
    with engine.connect() as opened:
        reading = opened if is_sqlite(opened) else opened.execution_options(isolation_level="REPEATABLE READ")
        with reading.begin(), zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED) as file:
            tables = {table.name: _write(reading, table, file) for table in _tables(reading)}
            head = log.head(reading)
            manifest = {
                "format": FORMAT, "revision": _revision(reading), "tables": tables,
                "audit_head": {"seq": head.seq, "hash": head.hash},
            }  # fmt: skip
            file.writestr("manifest.json", json.dumps(manifest, indent=1))
    with part.open("rb") as written:
        os.fsync(written.fileno())
    part.rename(target)
    return {name: told["rows"] for name, told in tables.items()}


def restore(engine: Engine, source: Path) -> Head:
    """Fill an empty store from a backup; the newest audit entry. Raises BackupError; nothing is kept then."""
    migrate(engine)
    try:
        with zipfile.ZipFile(source) as file, writing(engine.connect()) as connection, connection.begin():
            manifest = json.loads(file.read("manifest.json"))
            _may_be_filled(connection, manifest)
            for table in _tables(connection):
                _fill(connection, table, file, manifest["tables"].get(table.name))
            head = Head(manifest["audit_head"]["seq"], manifest["audit_head"]["hash"])
            broken = check(log.entries(connection), log.head(connection), head)
            if broken is not None:
                raise BackupError(f"the log in the backup is not whole: {broken.message}")
            return head
    except (zipfile.BadZipFile, KeyError, json.JSONDecodeError, OSError) as error:
        raise BackupError(f"{source} is no backup that can be read: {error}") from None


def _tables(connection: Connection) -> list[Table]:
    found = MetaData()
    found.reflect(connection)
    return [table for table in found.sorted_tables if table.name != _REVISION]


def _revision(connection: Connection) -> str:
    return str(connection.execute(text(f"select version_num from {_REVISION}")).scalar_one())


def _write(connection: Connection, table: Table, file: zipfile.ZipFile) -> dict[str, Any]:
    digest, rows = hashlib.sha256(), 0
    query = select(table).order_by(*table.primary_key.columns)
    with file.open(f"tables/{table.name}.jsonl", "w", force_zip64=True) as out:
        for row in connection.execution_options(yield_per=CHUNK).execute(query).mappings():
            line = orjson.dumps({str(key): _plain(value) for key, value in row.items()}) + b"\n"
            digest.update(line)
            out.write(line)
            rows += 1
    return {"rows": rows, "sha256": digest.hexdigest()}


def _plain(value: Any) -> Any:
    return {"base64": base64.b64encode(value).decode("ascii")} if isinstance(value, bytes | memoryview) else value


def _typed(value: Any) -> Any:
    return base64.b64decode(value["base64"]) if isinstance(value, dict) else value


def _may_be_filled(connection: Connection, manifest: dict[str, Any]) -> None:
    if manifest.get("format") != FORMAT:
        raise BackupError(f"the backup has format {manifest.get('format')}, and this version reads {FORMAT}")
    if manifest["revision"] != _revision(connection):
        made, here = manifest["revision"], _revision(connection)
        raise BackupError(f"the backup is of revision {made}, this store of {here}: use the version that made it")
    if log.head(connection).seq != 0:
        raise BackupError("the store is not empty: restore into a new database")


def _fill(connection: Connection, table: Table, file: zipfile.ZipFile, told: dict[str, Any] | None) -> None:
    if told is None:
        raise BackupError(f"the table {table.name} is not in the backup")
    connection.execute(table.delete())  # an empty store has a few first rows
    digest, rows = hashlib.sha256(), 0
    for chunk in _chunks(file, table.name):
        for line in chunk:
            digest.update(line)
        values = [{key: _typed(value) for key, value in orjson.loads(line).items()} for line in chunk]
        connection.execute(insert(table), values)
        rows += len(chunk)
    if (rows, digest.hexdigest()) != (told["rows"], told["sha256"]):
        raise BackupError(f"the table {table.name} is not as it was written")
    if connection.execute(select(func.count()).select_from(table)).scalar() != rows:
        raise BackupError(f"not every row of {table.name} was kept")


def _chunks(file: zipfile.ZipFile, name: str) -> Iterator[list[bytes]]:
    with file.open(f"tables/{name}.jsonl") as lines:
        chunk: list[bytes] = []
        for line in lines:
            chunk.append(line)
            if len(chunk) == CHUNK:
                yield chunk
                chunk = []
        if chunk:
            yield chunk
