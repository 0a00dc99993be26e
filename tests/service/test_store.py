"""Plans are on disk before they are given out, in one unforked chain, on every store; text stays text."""

import asyncio
import threading
from pathlib import Path
from typing import Any

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import create_engine, text
from sqlalchemy.exc import OperationalError

from service.audit import log
from service.audit.chain import Event, Head
from service.audit.head_file import HeadFile
from service.store import writer as writer_module
from service.store.engine import open_engine
from service.store.migrate import DatabaseTooNewError, migrate
from service.store.tables import metadata
from service.store.writer import StoreBusyError, StoreDownError, Write, Writer
from tests.conftest import Running, StartApp

SALT = "250 mL of 0.1 M sodium chloride"


def _head(response: Any) -> Head:
    seq, _, digest = response.headers["prepwright-audit-head"].partition(":")
    return Head(int(seq), digest)


def test_replies_survive_the_service(start: StartApp, database: str, tmp_path: Path) -> None:
    first = start(database)
    given = [first.ask(f"{n} mL of 0.1 M sodium chloride") for n in (100, 250, 500)]
    second = start(database)
    for response in given:
        assert second.get(f"/v1/plans/{response.json()['id']}").content == response.content
    assert log.verify(second.services.engine, *(_head(r) for r in given)) is None
    assert HeadFile(tmp_path / "audit-head").read() == _head(given[-1])


def test_lists_are_paged_by_place_and_filtered_by_outcome(start: StartApp, database: str) -> None:
    running = start(database)
    ids = [running.ask(SALT).json()["id"] for _ in range(5)]
    odd = running.ask("10 banana").json()["id"]
    page = running.get("/v1/plans?limit=2").json()
    assert [line["id"] for line in page["plans"]] == [odd, ids[4]]
    running.ask(SALT)
    page = running.get(f"/v1/plans?limit=3&after={page['next']}").json()
    assert [line["id"] for line in page["plans"]] == [ids[3], ids[2], ids[1]]
    page = running.get(f"/v1/plans?limit=3&after={page['next']}").json()
    assert [line["id"] for line in page["plans"]] == [ids[0]]
    assert "next" not in page
    only = running.get("/v1/plans?outcome=not_understood").json()["plans"]
    assert [(line["id"], line["text"]) for line in only] == [(odd, "10 banana")]


@pytest.mark.parametrize(
    "typed", ["\x00 null", "\x1b[2J\x07", "<b>bold</b>", "=1+1", "'; drop table plans; --", "\u202eabc", "ü°µ"]
)
def test_text_is_only_text(start: StartApp, database: str, typed: str) -> None:
    running = start(database)
    given = running.ask(typed)
    assert running.get(f"/v1/plans/{given.json()['id']}").content == given.content
    line = running.get("/v1/plans").json()["plans"][0]
    assert line["text"] == typed.replace("\x00", "\u2400")
    assert given.headers["content-type"] == "application/json"


def test_many_at_once_form_one_chain(start: StartApp, database: str) -> None:
    running = start(database)

    async def all_at_once() -> list[Any]:
        return await asyncio.gather(*(running.client.post("/v1/plans", json={"text": SALT}) for _ in range(100)))

    responses = running.run(all_at_once())
    assert {r.status_code for r in responses} == {200}
    assert len({r.json()["id"] for r in responses}) == 100
    assert sorted(_head(r).seq for r in responses) == list(range(1, 101))
    assert log.verify(running.services.engine, *(_head(r) for r in responses)) is None


def test_two_services_on_one_database_share_one_chain(start: StartApp, database: str) -> None:
    pair = [start(database), start(database)]
    failures: list[BaseException] = []

    def hammer(running: Running) -> None:
        try:
            for _ in range(30):
                assert running.ask(SALT).status_code == 200
        except BaseException as error:
            failures.append(error)

    threads = [threading.Thread(target=hammer, args=(running,)) for running in pair]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failures == []
    with pair[0].services.engine.connect() as connection:
        assert log.head(connection).seq == 60
    assert log.verify(pair[0].services.engine) is None


def test_two_services_may_start_at_once_on_an_empty_database(database: str) -> None:
    failures: list[BaseException] = []
    ready = threading.Barrier(4)

    def begin() -> None:
        engine = open_engine(database, 10.0)
        try:
            ready.wait()
            migrate(engine)
        except BaseException as error:
            failures.append(error)
        finally:
            engine.dispose()

    threads = [threading.Thread(target=begin) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failures == []


def test_the_migrations_make_the_tables_that_the_code_uses(database: str) -> None:
    engine = open_engine(database, 10.0)
    migrate(engine)
    with engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []
    engine.dispose()


def test_a_database_from_a_later_version_is_refused(database: str) -> None:
    engine = open_engine(database, 10.0)
    migrate(engine)
    with engine.begin() as connection:
        connection.execute(text("update alembic_version set version_num = '9999'"))
    with pytest.raises(DatabaseTooNewError, match="later version"):
        migrate(engine)
    engine.dispose()


def test_sqlite_commits_reach_the_disk(start: StartApp) -> None:
    with start().services.engine.connect() as connection:
        assert connection.execute(text("pragma journal_mode")).scalar() == "wal"
        assert connection.execute(text("pragma synchronous")).scalar() == 2  # FULL


@pytest.fixture
def bare_writer(database: str, tmp_path: Path) -> Any:
    engine = open_engine(database, 10.0)
    migrate(engine)
    with HeadFile(tmp_path / "head") as head_file:
        writer = Writer(engine, head_file, group_limit=8, queue_limit=4)
        yield writer
        writer.close()
    engine.dispose()


WRITE = Write(Event("a.technician", "test.happened", "subject", b"{}"))


def _lost_connection() -> OperationalError:
    return OperationalError("commit", {}, RuntimeError("server closed the connection"), connection_invalidated=True)


def test_a_commit_whose_answer_was_lost_is_not_made_twice(bare_writer: Writer, monkeypatch: pytest.MonkeyPatch) -> None:
    publish, failed = bare_writer._publish, []

    def lose_the_first(head: Head) -> None:
        if not failed:
            failed.append(head)
            raise _lost_connection()
        publish(head)

    monkeypatch.setattr(bare_writer, "_publish", lose_the_first)
    entry = asyncio.run(bare_writer.write(WRITE))
    assert (entry.seq, entry.hash) == (failed[0].seq, failed[0].hash)
    with bare_writer._engine.connect() as connection:
        assert log.head(connection) == failed[0]


def test_a_write_is_tried_again_while_the_database_is_away(
    bare_writer: Writer, monkeypatch: pytest.MonkeyPatch
) -> None:
    append, calls = log.append, []

    def fail_twice(*arguments: Any) -> Any:
        calls.append(1)
        if len(calls) < 3:
            raise _lost_connection()
        return append(*arguments)

    monkeypatch.setattr(writer_module.log, "append", fail_twice)
    assert asyncio.run(bare_writer.write(WRITE)).seq == 1


def test_who_waits_is_told_when_the_database_stays_away(bare_writer: Writer, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: Any) -> Any:
        raise _lost_connection()

    monkeypatch.setattr(writer_module, "_PAUSES_S", (0.0, 0.0))
    with monkeypatch.context() as broken:
        broken.setattr(writer_module.log, "append", fail)
        with pytest.raises(StoreDownError):
            asyncio.run(bare_writer.write(WRITE))
    assert asyncio.run(bare_writer.write(WRITE)).seq == 1


def test_a_full_queue_is_said_at_once(bare_writer: Writer, monkeypatch: pytest.MonkeyPatch) -> None:
    entered, go_on = threading.Event(), threading.Event()
    append = log.append

    def wait(*arguments: Any) -> Any:
        entered.set()
        go_on.wait(10)
        return append(*arguments)

    monkeypatch.setattr(writer_module.log, "append", wait)

    async def overfill() -> list[Any]:
        tasks = [asyncio.create_task(bare_writer.write(WRITE))]
        await asyncio.to_thread(entered.wait, 10)
        tasks += [asyncio.create_task(bare_writer.write(WRITE)) for _ in range(6)]
        await asyncio.sleep(0.05)
        go_on.set()
        return await asyncio.gather(*tasks, return_exceptions=True)

    results = asyncio.run(overfill())
    assert [type(r).__name__ for r in results].count("StoreBusyError") == 2
    assert sorted(r.seq for r in results if not isinstance(r, StoreBusyError)) == [1, 2, 3, 4, 5]


def test_a_closed_writer_has_committed_what_was_waiting(database: str, tmp_path: Path) -> None:
    engine = open_engine(database, 10.0)
    migrate(engine)
    with HeadFile(tmp_path / "head") as head_file:
        writer = Writer(engine, head_file, 64, 4096)

        async def write_and_close() -> list[Any]:
            tasks = [asyncio.create_task(writer.write(WRITE)) for _ in range(20)]
            await asyncio.sleep(0)
            await asyncio.to_thread(writer.close)
            return await asyncio.gather(*tasks)

        assert [e.seq for e in asyncio.run(write_and_close())] == list(range(1, 21))
        with pytest.raises(StoreDownError):
            asyncio.run(writer.write(WRITE))
    engine.dispose()


def test_health_says_when_the_database_is_gone(running: Running) -> None:
    assert running.get("/v1/health").json()["ready"] is True
    working = running.services.engine
    broken = create_engine("sqlite:////nowhere/at/all.sqlite3")
    object.__setattr__(running.services, "engine", broken)
    response = running.get("/v1/health")
    object.__setattr__(running.services, "engine", working)
    assert response.status_code == 503
    assert response.json()["ready"] is False
