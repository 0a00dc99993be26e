"""Shared by all tests: a database of each kind that can be had, a running application, and no silent skips."""

import asyncio
import os
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import httpx
import hypothesis
import pytest
from fastapi import FastAPI

from service.app import create_app
from service.services import Services
from service.settings import Settings
from tests.crash.databases import new_database

POSTGRESQL = os.environ.get("PREPWRIGHT_TEST_POSTGRESQL", "")
NO_SKIPS = bool(os.environ.get("PREPWRIGHT_NO_SKIPS"))


# The same examples on every run; PREPWRIGHT_NEW_EXAMPLES=1 looks for new ones.
hypothesis.settings.register_profile("same", derandomize=True, deadline=None)
if not os.environ.get("PREPWRIGHT_NEW_EXAMPLES"):
    hypothesis.settings.load_profile("same")


def pytest_configure() -> None:
    if NO_SKIPS and not POSTGRESQL:
        raise pytest.UsageError("PREPWRIGHT_NO_SKIPS is set, but PREPWRIGHT_TEST_POSTGRESQL names no server to test on")


def pytest_report_header() -> str:
    if POSTGRESQL:
        return "store tests: SQLite and PostgreSQL"
    return "store tests: SQLite only; set PREPWRIGHT_TEST_POSTGRESQL to a server's URL to run them on PostgreSQL too"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Iterator[None]:
    report = yield
    if NO_SKIPS and report.skipped:
        report.outcome = "failed"
        report.longrepr = f"{item.nodeid} was skipped, and PREPWRIGHT_NO_SKIPS is set: {report.longrepr}"
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(collector: pytest.Collector) -> Iterator[None]:
    report = yield
    if NO_SKIPS and report.skipped:
        report.outcome = "failed"
        report.longrepr = f"{collector.nodeid} was skipped, and PREPWRIGHT_NO_SKIPS is set: {report.longrepr}"
    return report


@pytest.fixture(params=["sqlite", "postgresql"] if POSTGRESQL else ["sqlite"])
def database(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The URL of an empty database, once for each kind of store."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'plans.sqlite3'}"
        return
    with new_database(POSTGRESQL) as url:
        yield url


class Running:
    """An application that was started, with calls that do not go over a network."""

    def __init__(self, app: FastAPI) -> None:
        self.app = app
        self._runner = asyncio.Runner()
        self._life = app.router.lifespan_context(app)
        self._runner.run(self._life.__aenter__())
        self.client = httpx.AsyncClient(transport=httpx.ASGITransport(app), base_url="http://127.0.0.1")

    @property
    def services(self) -> Services:
        return self.app.state.services

    def run(self, awaitable: Any) -> Any:
        return self._runner.run(awaitable)

    def call(self, method: str, path: str, **options: Any) -> httpx.Response:
        return self._runner.run(self.client.request(method, path, **options))

    def get(self, path: str, **options: Any) -> httpx.Response:
        return self.call("GET", path, **options)

    def ask(self, asked: str | dict[str, Any]) -> httpx.Response:
        return self.call("POST", "/v1/plans", json={"text": asked} if isinstance(asked, str) else {"request": asked})

    def stop(self) -> None:
        self._runner.run(self.client.aclose())
        self._runner.run(self._life.__aexit__(None, None, None))
        self._runner.close()


StartApp = Callable[..., Running]


@pytest.fixture
def start(tmp_path: Path) -> Iterator[StartApp]:
    """Starts applications; each is stopped at the end of the test."""
    with ExitStack() as running:

        def begin(database: str = "", answer: Any = None, **changed: Any) -> Running:
            url = database or f"sqlite:///{tmp_path / 'plans.sqlite3'}"
            settings = Settings(url, tmp_path / "audit-head", log_level="ERROR").changed(**changed)
            app = Running(create_app(settings) if answer is None else create_app(settings, answer))
            running.callback(app.stop)
            return app

        yield begin


@pytest.fixture
def running(start: StartApp) -> Running:
    """One application on SQLite."""
    return start()
