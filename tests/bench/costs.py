"""The figures of computing: reading, planning, many lines, growth with the number of lines."""

import itertools
import math
import statistics
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import lru_cache
from multiprocessing import get_context
from time import perf_counter, process_time
from typing import Any

import orjson

from grammar import read
from rules.rule import judge
from rules.tables.substances import by_name
from service.bench import default_bench
from service.pipeline import answer
from service.planner.draft import draft
from service.reply import compose
from tests.bench import scripts
from tests.bench.paired import Paired, paired
from tests.bench.requests import Asked, asked

BATCH = 200


@lru_cache(maxsize=1)
def lines() -> list[Asked]:
    """The lines of one batch, each planned once: the plan's mass must be the script's, or the comparison is void."""
    batch = list(itertools.islice(asked(), BATCH))
    for line in batch:
        reply = answer(line.text).document
        if "plan" not in reply:
            raise AssertionError(f"{line.text!r} is no ordinary line: {reply['outcome']}")
        first = reply["plan"]["measure"][0]["amount"]["value"]
        ours = first if reply["plan"]["route"]["kind"] == "weigh" else None
        if ours is not None and not math.isclose(ours, scripts.natural(line), rel_tol=2e-3):
            raise AssertionError(f"{line.text!r}: {ours} g planned, {scripts.natural(line)} g by the script")
    return batch


def reply_bytes(text: str) -> bytes:
    """The whole way of a line: read, planned, judged by every rule, composed, as JSON bytes."""
    return orjson.dumps(answer(text).document)


def _over(call: Callable[[Asked], object]) -> Callable[[], object]:
    batch = lines()

    def run() -> None:
        for line in batch:
            call(line)

    return run


def _known(words: str) -> bool:
    return bool(by_name(words))


def reading(rounds: int) -> Paired:
    """``read`` beside one pattern that only cuts the text."""
    return paired(_over(lambda line: scripts.tokens(line.text)), _over(lambda line: read(line.text, known=_known)), rounds)


def planning(script: Callable[[Asked], float], rounds: int) -> Paired:
    """The full checked plan beside a script that calculates the same mass."""
    return paired(_over(script), _over(lambda line: reply_bytes(line.text)), rounds)


def parts(rounds: int) -> dict[str, float]:
    """Microseconds a line of each part of the way: the least of the rounds. For finding where the time goes only."""
    bench, batch = default_bench(), lines()
    requests = [read(line.text, known=_known) for line in batch]
    plans = [draft(request, bench) for request in requests]  # type: ignore[arg-type]
    found = [judge(plan, bench.rules) for plan in plans]
    documents = [answer(line.text, bench).document for line in batch]
    work: dict[str, Callable[[], object]] = {
        "read": lambda: _each(lambda line: read(line.text, known=_known), batch),
        "draft": lambda: _each(lambda request: draft(request, bench), requests),
        "judge": lambda: _each(lambda plan: judge(plan, bench.rules), plans),
        "compose": lambda: _each(lambda each: compose("planned", *each), zip(requests, plans, found, strict=True)),
        "bytes": lambda: _each(orjson.dumps, documents),
    }
    return {name: min(_timed(call) for _ in range(rounds)) / BATCH * 1e6 for name, call in work.items()}


def _each(call: Callable[[Any], object], over: Iterable[object]) -> None:
    for one in over:
        call(one)


def _timed(call: Callable[[], object]) -> float:
    start = process_time()
    call()
    return process_time() - start


def bulk(count: int, rounds: int) -> tuple[Paired, float]:
    """``count`` different lines to JSON lines: beside the script on one core; and one core over two."""
    many = [line.text for line in itertools.islice(asked(), count)]
    batch = list(itertools.islice(asked(), count))
    one = paired(lambda: [scripts.natural(line) for line in batch], lambda: _chunk(many), rounds)
    halves = [many[at : at + 100] for at in range(0, count, 100)]
    with ProcessPoolExecutor(2, mp_context=get_context("fork")) as pool:
        two = paired(lambda: _chunk(many), lambda: list(pool.map(_chunk, halves)), rounds, perf_counter)
    return one, statistics.median(b / s for b, s in zip(two.baseline, two.subject, strict=True))


def _chunk(texts: Sequence[str]) -> int:
    return sum(len(reply_bytes(text)) for text in texts)


def growth(rounds: int) -> list[tuple[int, float]]:
    """(lines, cost of one line over its cost in the smallest batch): 1 all along where cost grows with the lines only."""
    sizes = (100, 1000, 10_000)
    least = dict.fromkeys(sizes, math.inf)
    for _ in range(rounds):
        for size in sizes:
            texts = [line.text for line in itertools.islice(asked(), size)]
            least[size] = min(least[size], _timed(lambda texts=texts: _chunk(texts)) / size)
    return [(size, least[size] / least[sizes[0]]) for size in sizes]
