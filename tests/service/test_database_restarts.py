"""PostgreSQL stopped and started under load, and one of two servers on it killed: the others go on, nothing is lost."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from service.settings import Settings
from service.store.engine import open_engine
from tests.crash import losses
from tests.crash.databases import new_database
from tests.crash.load import Kept, Load, people
from tests.crash.servers import PrivatePostgreSQL, Server, postgresql_programs


@pytest.fixture(scope="module")
def postgresql() -> Iterator[PrivatePostgreSQL]:
    programs = postgresql_programs()
    if programs is None:
        pytest.skip("PostgreSQL is not installed here: there is no initdb")
    server = PrivatePostgreSQL(programs)
    yield server
    server.remove()


def _nothing_is_missing(database: str, port: int, server: Server, keys: object, *all_kept: Kept) -> None:
    engine = open_engine(database, 30.0)
    for kept in all_kept:
        assert kept.faults == []
        assert losses.lost_rows(engine, kept) == []
        assert losses.lost_to_readers(port, keys, kept.acknowledged) == []  # type: ignore[arg-type]
        assert losses.fault_of_the_log(engine, kept, server.head_file) is None
    assert losses.altered(engine) is None
    assert losses.doubles(engine) == 0
    engine.dispose()


def test_clients_wait_while_the_database_is_away_and_then_go_on(postgresql: PrivatePostgreSQL, tmp_path: Path) -> None:
    with new_database(postgresql.url) as database, Server(database, tmp_path) as server:
        keys, kept = people(Settings(database, server.head_file)), Kept()
        server.start()
        with Load(server.port, keys, kept):
            for mode in ("fast", "immediate"):  # ended in order, and as by a crash
                kept.wait_for(20)
                postgresql.stop(mode)
                kept.wait_until(lambda before: kept.refused >= before.refused + 5)
                postgresql.start()
                kept.wait_for(20)
        assert kept.refused >= 10
        assert kept.unheard == 0
        _nothing_is_missing(database, server.port, server, keys, kept)


def test_one_of_two_servers_is_killed_and_the_other_goes_on(postgresql: PrivatePostgreSQL, tmp_path: Path) -> None:
    folders = [tmp_path / name for name in ("one", "other")]
    for folder in folders:
        folder.mkdir()
    with new_database(postgresql.url) as database, Server(database, folders[0]) as killed, Server(database, folders[1]) as other:
        keys = people(Settings(database, other.head_file))
        killed.start()
        other.start()
        of_killed, of_other = Kept(), Kept()
        with Load(killed.port, keys, of_killed, 3, "a"), Load(other.port, keys, of_other, 3, "b"):
            of_killed.wait_for(30)
            of_other.wait_for(1)
            killed.kill()
            of_other.wait_for(60)
        assert of_killed.unheard > 0
        assert of_other.unheard == 0
        _nothing_is_missing(database, other.port, other, keys, of_killed, of_other)
