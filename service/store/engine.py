"""The database engine: SQLite tuned so that a commit survives a power cut, or PostgreSQL."""

import sqlite3
import time
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, text
from sqlalchemy.engine import make_url


def open_engine(url: str, timeout: float) -> Engine:
    """An engine for ``url``; a call waits at most ``timeout`` seconds for a connection or a lock.

    SQLite runs in WAL mode with synchronous=FULL. A transaction that will write takes the write lock at its
    start (``writing``), so that two processes never read the same audit head.
    """
    if make_url(url).get_backend_name() == "sqlite":
        return _open_sqlite(url, timeout)
    return create_engine(
        url,
        pool_size=4,
        pool_timeout=timeout,
        pool_pre_ping=True,
        connect_args={
            "connect_timeout": max(1, int(timeout)),
            "options": f"-c statement_timeout={int(timeout * 1000)}",
        },
    )


def writing(connection: Connection) -> Connection:
    """Mark the connection so that its next transaction takes the write lock when it begins."""
    return connection.execution_options(prepwright_writing=True)


def is_sqlite(connection: Connection) -> bool:
    """Whether the connection speaks to SQLite."""
    return connection.dialect.name == "sqlite"


def answers(engine: Engine) -> bool:
    """Whether the database answers a trivial question now."""
    try:
        with engine.connect() as connection:
            return bool(connection.execute(text("select 1")).scalar() == 1)
    except Exception:
        return False


def _open_sqlite(url: str, timeout: float) -> Engine:
    database = make_url(url).database
    if database:
        Path(database).parent.mkdir(parents=True, exist_ok=True)
    engine = create_engine(url, connect_args={"timeout": timeout}, pool_timeout=timeout)

    @event.listens_for(engine, "connect")
    def _tune(raw: Any, _record: Any) -> None:
        raw.isolation_level = None  # transactions are begun below, not behind our back by the driver
        _use_wal(raw, timeout)
        raw.execute("PRAGMA synchronous=FULL")
        raw.execute("PRAGMA foreign_keys=ON")

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        write = connection.get_execution_options().get("prepwright_writing", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if write else "BEGIN")

    return engine


def _use_wal(raw: Any, timeout: float) -> None:
    """Turn on WAL; SQLite does not wait for others here as it does elsewhere, so this does."""
    until = time.monotonic() + timeout
    while True:
        try:
            raw.execute("PRAGMA journal_mode=WAL")
            return
        except sqlite3.OperationalError:
            if time.monotonic() > until:
                raise
            time.sleep(0.02)
