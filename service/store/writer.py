"""The one writer: a thread that commits whatever is waiting as one group, then tells those who wait.

A caller is answered only after the commit, so an acknowledged write is on disk. While one group commits, the
next one gathers: the cost of a flush is shared under load and nobody waits for a timer.
"""

import asyncio
import queue
import threading
import time
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Engine, Executable, Table, insert
from sqlalchemy.exc import DBAPIError

from service.audit import log
from service.audit.chain import Entry, Event, Head
from service.audit.head_file import HeadFile
from service.logs import logger
from service.store.engine import writing
from service.store.tables_audit import Term, audit_terms

_PAUSES_S = (0.05, 0.25, 1.0, 3.0)  # between tries while the database restarts


class StoreDownError(RuntimeError):
    """The write was not made: the database does not answer."""


class StoreBusyError(RuntimeError):
    """The write was not taken on: too many are waiting already."""


@dataclass(frozen=True, slots=True)
class Write:
    """One audit event and the row that goes with it; the row gets the entry's ``seq`` and ``at`` added.

    ``terms`` are what the log is searched by; ``also`` makes, from the entry, statements of the same transaction that
    cannot fail.
    """

    event: Event
    table: Table | None = None
    row: dict[str, Any] = field(default_factory=dict)
    terms: tuple[Term, ...] = ()
    also: tuple[Callable[[Entry], Executable], ...] = ()

    def followed_by(self, statement: Callable[[Entry], Executable]) -> "Write":
        """The same write with one more statement of its transaction."""
        return replace(self, also=(*self.also, statement))


@dataclass(frozen=True, slots=True)
class _Waiting:
    writes: tuple[Write, ...]
    loop: asyncio.AbstractEventLoop
    future: "asyncio.Future[Entry]"


class Writer:
    """Takes writes from any event loop and commits them in order, in groups of at most ``group_limit``.

    ``announced`` gives of an event the statement that puts it into the outbox, run last of its write.
    """

    def __init__(
        self,
        engine: Engine,
        head_file: HeadFile,
        group_limit: int,
        queue_limit: int,
        announced: Callable[[Event], Callable[[Entry], Executable] | None] = lambda _: None,
    ) -> None:
        self._announced = announced
        self._engine = engine
        self._head_file = head_file
        self._group_limit = group_limit
        self._queue: queue.Queue[_Waiting | None] = queue.Queue(queue_limit)
        self._closing = False
        self._thread = threading.Thread(target=self._run, name="prepwright-writer", daemon=True)
        self._thread.start()

    async def write(self, write: Write, *along: Write) -> Entry:
        """Commit the write, with those that belong to it in the same transaction, and give its audit entry.

        Raises StoreBusyError when the queue is full, StoreDownError when the database stays away.
        """
        if self._closing:
            raise StoreDownError("the service is stopping")
        loop = asyncio.get_running_loop()
        waiting = _Waiting((write, *along), loop, loop.create_future())
        try:
            self._queue.put_nowait(waiting)
        except queue.Full:
            raise StoreBusyError("too many writes are waiting") from None
        return await waiting.future

    @property
    def waiting(self) -> int:
        """How many callers wait, about."""
        return self._queue.qsize()

    def close(self) -> None:
        """Commit what is waiting, then stop."""
        self._closing = True
        self._queue.put(None)
        self._thread.join()

    def _run(self) -> None:
        while (first := self._queue.get()) is not None:
            group, last = self._gather(first)
            try:
                entries: list[Entry] | Exception = self._commit_surely([write for w in group for write in w.writes])
            except Exception as error:
                entries = StoreDownError(f"the write was not made: {type(error).__name__}")
                logger().error("write failed", error=type(error).__name__, writes=len(group), exc_info=error)
            _tell(group, entries)
            if last:
                return

    def _gather(self, first: _Waiting) -> tuple[list[_Waiting], bool]:
        group = [first]
        while len(group) < self._group_limit:
            try:
                waiting = self._queue.get_nowait()
            except queue.Empty:
                break
            if waiting is None:
                return group, True
            group.append(waiting)
        return group, False

    def _commit_surely(self, writes: Sequence[Write]) -> list[Entry]:
        """Commit, trying again while the database is away; a commit whose answer was lost is found, not repeated."""
        tried: list[Entry] = []
        for pause in (*_PAUSES_S, None):
            try:
                return self._commit(writes, tried)
            except DBAPIError as error:
                if pause is None or not (error.connection_invalidated or _may_pass(error)):
                    raise
                logger().warning("write retried", error=type(error.orig).__name__, pause=pause)
                time.sleep(pause)
        raise AssertionError("the last try either returns or raises")

    def _commit(self, writes: Sequence[Write], tried: list[Entry]) -> list[Entry]:
        at = datetime.now(UTC).isoformat(timespec="microseconds").replace("+00:00", "Z")
        rows: dict[Table, list[dict[str, Any]]] = defaultdict(list)
        with writing(self._engine.connect()) as connection, connection.begin():
            before = log.lock_head(connection)
            if tried and log.holds(connection, _head_of(tried)):
                return tried
            tried[:] = log.append(connection, before, at, [w.event for w in writes])
            for write, entry in zip(writes, tried, strict=True):
                if write.table is not None:
                    rows[write.table].append({**write.row, "seq": entry.seq, "at": at})
                if write.terms:
                    rows[audit_terms] += [{**term._asdict(), "seq": entry.seq} for term in write.terms]
            for table, values in rows.items():
                connection.execute(insert(table), values)
            for write, entry in zip(writes, tried, strict=True):
                for statement in write.also:
                    connection.execute(statement(entry))
                told = self._announced(write.event)
                if told is not None:
                    connection.execute(told(entry))
        self._publish(_head_of(tried))
        return tried

    def _publish(self, head: Head) -> None:
        """Note the head outside the database; a fault there is reported, it does not undo the commit."""
        try:
            self._head_file.advance(head)
        except (OSError, ValueError) as error:
            logger().error("audit head file not written", path=str(self._head_file.path), error=str(error))


def _head_of(entries: Sequence[Entry]) -> Head:
    return Head(entries[-1].seq, entries[-1].hash)


def _may_pass(error: DBAPIError) -> bool:
    """Errors that go away by themselves: the server restarts, or another process holds the lock."""
    words = str(error.orig).lower()
    return any(
        w in words for w in ("locked", "connect", "shutting down", "starting up", "terminat", "timeout", "recovery")
    )


def _tell(group: Sequence[_Waiting], outcome: list[Entry] | Exception) -> None:
    """Wake those who wait, one call per event loop."""
    by_loop: dict[asyncio.AbstractEventLoop, list[tuple[asyncio.Future[Entry], Entry | Exception]]] = defaultdict(list)
    place = 0
    for waiting in group:
        by_loop[waiting.loop].append((waiting.future, outcome if isinstance(outcome, Exception) else outcome[place]))
        place += len(waiting.writes)
    for loop, results in by_loop.items():
        try:
            loop.call_soon_threadsafe(_settle, results)
        except RuntimeError:
            logger().warning("nobody waits for a committed write", writes=len(results))


def _settle(results: list[tuple["asyncio.Future[Entry]", Entry | Exception]]) -> None:
    for future, result in results:
        if future.done():
            continue  # the client went away; the write stands
        if isinstance(result, Exception):
            future.set_exception(result)
        else:
            future.set_result(result)
