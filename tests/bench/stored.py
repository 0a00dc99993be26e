"""The figures of the store: durable writes beside bare appends, a page of a long log beside a scan, verification beside
reading and hashing, and the memory of a worker."""

import asyncio
import hashlib
import os
import random
import resource
import sqlite3
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import date
from pathlib import Path
from time import perf_counter

import orjson
from sqlalchemy import Engine, insert, text

from service.audit import log, search
from service.audit.chain import EMPTY, Event, Head, link
from service.audit.head_file import HeadFile
from service.audit.search import Filters
from service.pipeline import answer
from service.plans.archive import Archive
from service.store.engine import open_engine
from service.store.migrate import migrate
from service.store.tables import audit, audit_head
from service.store.tables_audit import audit_terms
from service.store.writer import Writer
from tests.bench.paired import Paired, paired

ROOT = Path(__file__).parents[2]
GROUP = 16
APPENDED_BYTES = 12 * 1024
SUBSTANCES, PEOPLE, CLASSES = 700, 40, ("Skin Corr. 1A", "Carc. 1B", "Acute Tox. 3", "Aquatic Chronic 1")
CHUNK = 20_000


@contextmanager
def _folder() -> Iterator[Path]:
    with tempfile.TemporaryDirectory() as name:
        yield Path(name)


def durable(rounds: int, writes: int = 320) -> Paired:
    """Seconds of single appends, each flushed, beside as many plans with their audit entries in groups of ``GROUP``."""
    document = answer("250 mL of 0.1 M sodium chloride").document
    block = os.urandom(APPENDED_BYTES)
    with _folder() as folder:
        engine = open_engine(f"sqlite:///{folder / 'bench.sqlite3'}", 10.0)
        migrate(engine)
        head_file = HeadFile(folder / "head")
        writer = Writer(engine, head_file, GROUP, 4096)
        archive = Archive(engine, writer)

        def appends() -> None:
            with (folder / "floor").open("ab", buffering=0) as file:
                for _ in range(writes):
                    file.write(block)
                    os.fdatasync(file.fileno())

        async def kept() -> None:
            async def client() -> None:
                for _ in range(writes // GROUP):
                    await archive.store("250 mL of 0.1 M sodium chloride", document, "bench")

            await asyncio.gather(*(client() for _ in range(GROUP)))

        found = paired(appends, lambda: asyncio.run(kept()), rounds, perf_counter)
        writer.close()
        head_file.close()
        engine.dispose()
        return found


def fill(engine: Engine, count: int) -> None:
    """A log of ``count`` chained entries with a substance each, and a class for one in five."""
    chance, head = random.Random(20261201), EMPTY
    with engine.begin() as connection:
        for first in range(0, count, CHUNK):
            size = min(CHUNK, count - first)
            events, terms = [], []
            for n in range(size):
                body = {"outcome": "planned", "plan_hash": f"{first + n:064x}", "text_hash": f"{n:064x}"}
                events.append(Event(f"person-{chance.randrange(PEOPLE)}", "plan.answered", f"P{first + n:09d}", orjson.dumps(body)))
                seq = head.seq + n + 1
                terms.append(("substance", f"substance-{chance.randrange(SUBSTANCES)}", seq, chance.random(), 1.0))
                if n % 5 == 0:
                    terms.append(("class", chance.choice(CLASSES), seq, None, None))
            day = date(2026, 1, 1).toordinal() + first * 330 // count
            at = f"{date.fromordinal(day).isoformat()}T08:00:00.{first // CHUNK:06d}Z"
            entries = link(head, at, events)
            columns = [c.name for c in audit.columns]
            connection.execute(insert(audit), [{c: getattr(e, c) for c in columns} for e in entries])
            names = ("kind", "value", "seq", "strength", "amount_g")
            connection.execute(insert(audit_terms), [dict(zip(names, term, strict=True)) for term in terms])
            head = Head(entries[-1].seq, entries[-1].hash)
        connection.execute(audit_head.update().values(seq=head.seq, hash=head.hash))
    with engine.connect() as connection:
        connection.execute(text("ANALYZE"))


def _best(call: Callable[[], object], times: int) -> float:
    found = []
    for _ in range(times):
        start = perf_counter()
        call()
        found.append(perf_counter() - start)
    return statistics.median(found)


def pages(engine: Engine) -> tuple[float, str]:
    """The slowest documented search page over a full scan of the log, and which search that is."""
    scan = _best(lambda: _scan(engine), 3)
    middle = date(2026, 6, 1)
    wanted = {
        "substance": Filters(substances=("substance-7",)),
        "substance above a strength": Filters(substances=("substance-7",), over_mol_L=0.5),
        "class": Filters(classes=("Carc. 1B",)),
        "person": Filters(person="person-3"),
        "event": Filters(event="plan.answered"),
        "date": Filters(since=middle, until=middle),
        "substance and person": Filters(substances=("substance-7",), person="person-3"),
        "lot": Filters(lot="A-1"),
        "everything": Filters(),
    }
    cost = {name: _best(lambda f=f: search.page(engine, f, None, 50), 5) / scan for name, f in wanted.items()}
    worst = max(cost, key=lambda name: cost[name])
    return cost[worst], worst


def _scan(engine: Engine) -> None:
    with engine.connect() as connection:
        connection.execute(text("select count(*) from audit where body like '%nowhere%'")).scalar()


def verification(engine: Engine, path: Path, rounds: int) -> Paired:
    """Reading every row and hashing its bytes, beside checking the whole chain."""

    def floor() -> None:
        with closing(sqlite3.connect(path)) as connection:
            query = "select seq, at, actor, event, subject, body, prev_hash, hash from audit order by seq"
            for row in connection.execute(query):
                hashlib.sha256("".join(map(str, row)).encode()).hexdigest()

    def whole() -> None:
        if log.verify(engine) is not None:
            raise AssertionError("the log is not whole")

    return paired(floor, whole, rounds, perf_counter)


@contextmanager
def long_log(count: int) -> Iterator[tuple[Engine, Path]]:
    """A database with a log of ``count`` entries."""
    with _folder() as folder:
        path = folder / "log.sqlite3"
        engine = open_engine(f"sqlite:///{path}", 10.0)
        migrate(engine)
        fill(engine, count)
        yield engine, path
        engine.dispose()


def growth_of_memory(plans: int) -> float:
    """Memory of a worker after ``plans`` plans over that after a thousand, measured in a process of its own."""
    run = [sys.executable, "-m", "tests.bench.stored", str(plans)]
    return float(subprocess.run(run, check=True, capture_output=True, text=True, cwd=ROOT).stdout)


def _grow(plans: int) -> float:
    from tests.bench.requests import asked

    early = 0
    for n, line in enumerate(asked(), 1):
        orjson.dumps(answer(line.text).document)
        if n == 1000:
            early = _pages()
        if n == plans:
            return _pages() / early
    raise AssertionError("the lines never end")


def _pages() -> int:
    return int(Path("/proc/self/statm").read_text().split()[1]) * resource.getpagesize()


if __name__ == "__main__":
    print(_grow(int(sys.argv[1])))
