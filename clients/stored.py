"""The service run in this process for one command: the same requests as over HTTP, without a network."""

import asyncio
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import httpx

from clients.api import Bench, sent


class Here(Bench):
    """The bench record of an application that runs in this process."""

    _url = "The service in this process"

    def __init__(self, runner: asyncio.Runner, client: httpx.AsyncClient) -> None:
        self._runner = runner
        self._client = client

    def _call(self, method: str, path: str, body: Any, headers: dict[str, str] | None = None) -> tuple[int, bytes]:
        content, headers = sent(body, headers)
        response = self._runner.run(self._client.request(method, path, content=content, headers=headers))
        return response.status_code, response.content


@contextmanager
def running_here(app: Any) -> Iterator[Here]:
    """Start the application, and stop it when done: what was acknowledged is on disk."""
    with asyncio.Runner() as runner:
        life = app.router.lifespan_context(app)
        runner.run(life.__aenter__())
        client = httpx.AsyncClient(transport=httpx.ASGITransport(app), base_url="http://127.0.0.1", timeout=None)
        try:
            yield Here(runner, client)
        finally:
            runner.run(client.aclose())
            runner.run(life.__aexit__(None, None, None))
