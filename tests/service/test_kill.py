"""A server that is killed in the middle of its work has kept every reply it gave out."""

import http.client
import json
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from service.audit import log
from service.audit.chain import Head
from service.audit.head_file import parse
from service.plans.archive import Archive, altered_plan
from service.settings import database_url
from service.store.engine import open_engine

TEXT = json.dumps({"text": "250 mL of 0.1 M sodium chloride"})


def start_server(database: str, folder: Path) -> tuple[subprocess.Popen[str], int]:
    server = subprocess.Popen(
        [sys.executable, "-m", "clients.cli", "serve", "--port", "0", "--db", database],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        cwd=Path(__file__).parents[2],
        env={"PATH": "/usr/bin:/bin", "HOME": str(folder), "PREPWRIGHT_HEAD_FILE": str(folder / "head")},
    )
    assert server.stdout
    for line in server.stdout:
        if "http://" in line:
            return server, int(line.rsplit(":", 1)[1])
    raise AssertionError("the server did not start")


def ask_until_it_dies(port: int, kept: list[tuple[str, bytes, Head]]) -> None:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    try:
        while True:
            connection.request("POST", "/v1/plans", TEXT, {"Content-Type": "application/json"})
            response = connection.getresponse()
            body = response.read()
            if response.status != 200:
                return
            seq, _, digest = response.headers["Prepwright-Audit-Head"].partition(":")
            kept.append((json.loads(body)["id"], body, Head(int(seq), digest)))
    except (OSError, http.client.HTTPException):
        return
    finally:
        connection.close()


def wait_for(kept: list[tuple[str, bytes, Head]], count: int) -> None:
    until = time.monotonic() + 60
    while len(kept) < count:
        assert time.monotonic() < until, "the server gave no replies"
        time.sleep(0.005)


@pytest.mark.parametrize("before_the_kill", [5, 40])
def test_no_acknowledged_reply_is_lost(database: str, tmp_path: Path, before_the_kill: int) -> None:
    kept: list[tuple[str, bytes, Head]] = []
    for _ in range(2):
        server, port = start_server(database, tmp_path)
        clients = [threading.Thread(target=ask_until_it_dies, args=(port, kept)) for _ in range(4)]
        for client in clients:
            client.start()
        wait_for(kept, len(kept) + before_the_kill)
        server.send_signal(signal.SIGKILL)
        server.wait()
        for client in clients:
            client.join()
    assert len(kept) >= 2 * before_the_kill
    engine = open_engine(database_url(database), 10.0)
    archive = Archive(engine, None)  # type: ignore[arg-type]
    for plan_id, body, _ in kept:
        found = archive.get(plan_id)
        assert found is not None, f"{plan_id} was given out and is gone"
        assert b'{"id":"%b",%b' % (plan_id.encode(), found[1][1:]) == body
    assert log.verify(engine, parse((tmp_path / "head").read_bytes()), *(head for _, _, head in kept)) is None
    assert altered_plan(engine) is None
    engine.dispose()


def test_a_server_that_is_asked_to_stop_finishes_what_it_has(tmp_path: Path) -> None:
    server, port = start_server(str(tmp_path / "plans.sqlite3"), tmp_path)
    kept: list[tuple[str, bytes, Head]] = []
    client = threading.Thread(target=ask_until_it_dies, args=(port, kept))
    client.start()
    wait_for(kept, 10)
    server.send_signal(signal.SIGTERM)
    server.wait(20)
    client.join()
    engine = open_engine(f"sqlite:///{tmp_path / 'plans.sqlite3'}", 10.0)
    with engine.connect() as connection:
        assert log.head(connection).seq == len(kept)
    engine.dispose()
