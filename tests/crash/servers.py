"""Real processes: the API as it is run in service, and a PostgreSQL server of one's own that may be stopped."""

import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
from pathlib import Path
from types import TracebackType
from typing import IO, Self

ROOT = Path(__file__).parents[2]
_CALLS_A_MINUTE = "100000000"  # the clients here are quicker than people


def free_port() -> int:
    """A port that nobody listens at now."""
    with socket.create_server(("127.0.0.1", 0)) as listening:
        port: int = listening.getsockname()[1]
        return port


class Server:
    """The API on one database and one port, started as often as it is killed. ``folder`` holds its head file."""

    def __init__(self, database: str, folder: Path) -> None:
        self.database = database
        self.head_file = folder / "audit-head"
        self.port = free_port()
        self._home = folder
        self._process: subprocess.Popen[str] | None = None

    def begin(self) -> None:
        """Start the process; it does not answer yet."""
        self._process = self._run("clients.cli", "serve", "--port", str(self.port), "--db", self.database)

    def _run(self, module: str, *arguments: str) -> subprocess.Popen[str]:
        return subprocess.Popen(
            [sys.executable, "-m", module, *arguments],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            cwd=ROOT,
            env={
                "PATH": "/usr/bin:/bin", "HOME": str(self._home), "PREPWRIGHT_HEAD_FILE": str(self.head_file),
                "PREPWRIGHT_CALLS_A_MINUTE": _CALLS_A_MINUTE,
            },
        )  # fmt: skip

    def wait(self) -> None:
        """Wait until it answers."""
        for line in self._said():
            if "http://" in line:
                return
            assert line != "over\n", "the server did not start"
        raise AssertionError("the server did not start")

    def start(self) -> Self:
        """Start it and wait until it answers."""
        self.begin()
        self.wait()
        return self

    def kill(self) -> None:
        """End it with SIGKILL: it can do nothing any more."""
        assert self._process is not None
        self._process.kill()
        self._over()

    def stop(self) -> None:
        """Ask it to stop, and wait until it has."""
        assert self._process is not None
        self._process.terminate()
        self._over()

    def _said(self) -> IO[str]:
        assert self._process is not None and self._process.stdout is not None
        return self._process.stdout

    def _over(self) -> None:
        assert self._process is not None
        self._process.communicate(timeout=30)
        self._process = None

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._process is not None:
            Server.kill(self)


def start_server(database: str, folder: Path) -> tuple[subprocess.Popen[str], int]:
    """A server that answers: its process, for the caller to end, and its port."""
    server = Server(database, folder).start()
    assert server._process is not None
    return server._process, server.port


class QuickServer(Server):
    """The same, started from a process that has loaded everything (``tests.crash.nursery``)."""

    _serving = 0

    def begin(self) -> None:
        """Start a server; it does not answer yet."""
        if self._process is None:
            self._process = self._run("tests.crash.nursery", str(self.port), self.database)
        assert self._process.stdin is not None
        self._process.stdin.write("start\n")
        self._process.stdin.flush()
        self._serving = int(self._said().readline())

    def kill(self) -> None:
        """End the server with SIGKILL."""
        os.kill(self._serving, signal.SIGKILL)
        for line in self._said():
            if line == "over\n":
                break
        self._serving = 0

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._serving:
            self.kill()
        super().__exit__(kind, error, trace)


def postgresql_programs() -> Path | None:
    """The folder of initdb and pg_ctl; None where PostgreSQL is not installed."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda path: float(path.parts[4]))
    if found:
        return found[-1].parent
    named = shutil.which("initdb")
    return None if named is None else Path(named).parent


class PrivatePostgreSQL:
    """A PostgreSQL server in a folder of its own, on loopback only. It refuses to run as root, so it runs as postgres."""

    def __init__(self, programs: Path) -> None:
        self._programs = programs
        self._folder = Path(tempfile.mkdtemp(prefix="prepwright-pg-"))
        self._port = free_port()
        self._as: list[str] = []
        if os.getuid() == 0:
            shutil.chown(self._folder, "postgres", "postgres")
            self._as = ["runuser", "-u", "postgres", "--"]
        self._run("initdb", "-D", "data", "-A", "trust", "-U", "prepwright", "-E", "UTF8")
        self.start()

    @property
    def url(self) -> str:
        """Its first database."""
        return f"postgresql+psycopg://prepwright@127.0.0.1:{self._port}/postgres"

    def start(self) -> None:
        """Start it and wait until it takes connections."""
        options = f"-p {self._port} -k {self._folder} -c listen_addresses=127.0.0.1"
        self._run("pg_ctl", "-D", "data", "-w", "-l", "log", "-o", options, "start")

    def stop(self, mode: str) -> None:
        """Stop it: ``fast`` ends every session in order, ``immediate`` is a crash."""
        self._run("pg_ctl", "-D", "data", "-w", "-m", mode, "stop")

    def remove(self) -> None:
        """Stop it and delete what it held."""
        if (self._folder / "data" / "postmaster.pid").exists():
            self.stop("immediate")
        shutil.rmtree(self._folder)

    def _run(self, program: str, *arguments: str) -> None:
        command = [*self._as, str(self._programs / program), *arguments]
        subprocess.run(command, cwd=self._folder, check=True, timeout=120, stdout=subprocess.DEVNULL)
