"""A server that is killed or stopped in the middle of its work has kept everything it acknowledged.

``python -m tests.crash`` does the same at length; docs/ROBUSTNESS.md has its figures.
"""

from pathlib import Path

from service.settings import Settings, database_url
from service.store.engine import open_engine
from tests.crash import losses
from tests.crash.killing import run
from tests.crash.load import Kept, Load, people
from tests.crash.servers import Server


def test_nothing_acknowledged_is_lost_when_the_server_is_killed(database: str, tmp_path: Path) -> None:
    found = run(database, tmp_path, kills=5, seed=20, quick=True)
    assert found.sound, "\n".join(found.lines())
    assert found.kills >= 5
    assert all(found.kept.of(kind) for kind in ("plan", "record", "approval")), "\n".join(found.lines())


def test_a_server_that_is_asked_to_stop_finishes_what_it_has(tmp_path: Path) -> None:
    database = database_url(str(tmp_path / "plans.sqlite3"))
    with Server(database, tmp_path) as server:
        keys, kept = people(Settings(database, server.head_file)), Kept()
        engine = open_engine(database, 10.0)
        already = losses.entries(engine)
        server.start()
        with Load(server.port, keys, kept):
            kept.wait_for(10)
            server.stop()
    assert losses.lost_rows(engine, kept) == []
    assert losses.fault_of_the_log(engine, kept, server.head_file) is None
    # What was committed was also answered. A held plan has two entries (the plan, its hold), a record too (what was used).
    double = len(kept.of("record")) + sum(one.document["outcome"] == "held" for one in kept.of("plan"))
    assert losses.entries(engine) - already == len(kept.acknowledged) + double
    engine.dispose()
