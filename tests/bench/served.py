"""The figures of serving: plans over HTTP beside a no-op endpoint of the same server, one worker, on one core.

The load comes from this process, on another core where there is one. Targets are measured in turns, in rounds.
"""

import asyncio
import contextlib
import itertools
import os
import socket
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter
from typing import TypeAlias

import httpx
import orjson

from tests.bench.requests import asked
from tests.bench.served_app import NOTHING, STORED, UNSTORED

ROOT = Path(__file__).parents[2]
CLIENTS = 16


Ratio: TypeAlias = tuple[float, tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Served:
    """Requests per second over the no-op's, median and middle half of the rounds; p99 over p50 at half the capacity."""

    unstored: Ratio
    stored: Ratio
    tail: float


def bodies() -> Iterator[bytes]:
    """Bodies of POST /v1/plans, every one different."""
    return (orjson.dumps({"text": line.text}) for line in asked())


def _request(path: str, body: bytes | None) -> bytes:
    head = f"{'GET' if body is None else 'POST'} {path} HTTP/1.1\r\nHost: 127.0.0.1\r\n"
    if body is None:
        return f"{head}\r\n".encode()
    return f"{head}Content-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n".encode() + body


async def _once(reader: asyncio.StreamReader, writer: asyncio.StreamWriter, request: bytes) -> None:
    writer.write(request)
    head = await reader.readuntil(b"\r\n\r\n")
    if b" 200 " not in head[:13]:
        raise AssertionError(head.decode("latin-1"))
    length = int(head.lower().partition(b"content-length:")[2].partition(b"\r\n")[0])
    await reader.readexactly(length)


async def _closed(port: int, path: str, texts: Iterator[bytes], seconds: float) -> float:
    """Requests per second of ``CLIENTS`` clients that each wait for the answer before they ask again."""
    done = 0
    end = perf_counter() + seconds

    async def client() -> None:
        nonlocal done
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        while perf_counter() < end:
            await _once(reader, writer, _request(path, None if path == NOTHING else next(texts)))
            done += 1
        writer.close()

    start = perf_counter()
    await asyncio.gather(*(client() for _ in range(CLIENTS)))
    return done / (perf_counter() - start)


async def _open(port: int, path: str, texts: Iterator[bytes], rate: float, seconds: float) -> list[float]:
    """Seconds each answer took when requests come at a steady ``rate``, whether or not earlier ones are answered."""
    took: list[float] = []
    start = perf_counter()

    async def client(first: int) -> None:
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        for n in itertools.count(first, CLIENTS):
            due = start + n / rate
            if due > start + seconds:
                break
            await asyncio.sleep(max(0.0, due - perf_counter()))
            await _once(reader, writer, _request(path, next(texts)))
            took.append(perf_counter() - due)
        writer.close()

    await asyncio.gather(*(client(n) for n in range(CLIENTS)))
    return sorted(took)


@contextlib.contextmanager
def _server() -> Iterator[int]:
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    with tempfile.TemporaryDirectory() as folder:
        process = subprocess.Popen([sys.executable, "-m", "tests.bench.served_app", folder, str(port)], cwd=ROOT)
        try:
            _await(port)
            if hasattr(os, "sched_setaffinity") and (os.cpu_count() or 1) > 1:
                os.sched_setaffinity(process.pid, {0})
                os.sched_setaffinity(0, set(range(1, os.cpu_count() or 1)))
            yield port
        finally:
            process.terminate()
            process.wait()
            if hasattr(os, "sched_setaffinity"):
                os.sched_setaffinity(0, set(range(os.cpu_count() or 1)))


def _await(port: int) -> None:
    for _ in range(200):
        with contextlib.suppress(httpx.TransportError):
            if httpx.get(f"http://127.0.0.1:{port}/v1/health").status_code == 200:
                return
        asyncio.run(asyncio.sleep(0.1))
    raise AssertionError("the server did not start")


def _middle(ratios: list[float]) -> Ratio:
    ratios = sorted(ratios)
    return statistics.median(ratios), (ratios[len(ratios) // 4], ratios[-1 - len(ratios) // 4])


def serving(rounds: int, seconds: float = 1.0) -> Served:
    """Measure the three targets in turns, then the tail of stored plans at half of their capacity."""
    texts = bodies()
    rates: dict[str, list[float]] = {NOTHING: [], UNSTORED: [], STORED: []}
    with _server() as port:
        for path in rates:
            asyncio.run(_closed(port, path, texts, seconds))
        for _ in range(rounds):
            for path, found in rates.items():
                found.append(asyncio.run(_closed(port, path, texts, seconds)))
        half = statistics.median(rates[STORED]) / 2
        tails = []
        for _ in range(max(3, rounds // 3)):
            took = asyncio.run(_open(port, STORED, texts, half, 3 * seconds))
            tails.append(took[int(0.99 * len(took))] / took[len(took) // 2])
    none = rates[NOTHING]
    return Served(
        _middle([r / n for r, n in zip(rates[UNSTORED], none, strict=True)]),
        _middle([r / n for r, n in zip(rates[STORED], none, strict=True)]),
        statistics.median(tails),
    )


if __name__ == "__main__":
    print(serving(5))
