"""Requests that carry an Idempotency-Key: answered once, and given again word for word when they are sent again.

A key is claimed before the work begins and gets its answer in the transaction that stores the work, so a restart
between the two leaves neither. Keys belong to a client; they are kept for thirty days.
"""

import hashlib
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from datetime import timedelta

import orjson
from sqlalchemy import Engine, Executable, delete, insert, select, update
from sqlalchemy.exc import IntegrityError
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from service.people.clock import now, stamp
from service.problems import FieldError, Problem
from service.store.engine import writing
from service.store.tables_approvals import repeats

HEADER = "idempotency-key"
REPLAYED = "Idempotency-Replayed"
LONGEST_KEY = 200
_KEPT = timedelta(days=30)
_ABANDONED = timedelta(seconds=60)  # a claim of a process that died is taken over after this


@dataclass(frozen=True, slots=True)
class Answer:
    """A finished response: status, headers that matter, body."""

    status: int
    headers: dict[str, str]
    body: bytes

    def response(self, replayed: bool = False) -> Response:
        """As it is sent; ``replayed`` says so in a header."""
        headers = {**self.headers, REPLAYED: "true"} if replayed else self.headers
        return Response(self.body, self.status, headers, "application/json")


Finish = Callable[[Answer], Executable]
Act = Callable[[Finish | None], Awaitable[Answer]]


def key_of(request: Request) -> str | None:
    """The Idempotency-Key that was sent, if any. Raises Problem for one that cannot be used."""
    key = request.headers.get(HEADER)
    if key is not None and not (0 < len(key) <= LONGEST_KEY and key.isascii() and key.isprintable()):
        fault = FieldError("/header/Idempotency-Key", f"must be 1 to {LONGEST_KEY} plain characters")
        raise Problem("invalid-request", "The Idempotency-Key cannot be used.", (fault,))
    return key


@dataclass(frozen=True, slots=True)
class Repeats:
    """The keys of one database."""

    engine: Engine

    async def once(self, request: Request, client: str, act: Act) -> Response:
        """The response of ``act``, or the one it gave before under the same key. Raises Problem.

        ``act`` is given the maker of a statement that keeps the answer, to be run in the transaction of its write.
        """
        key = key_of(request)
        if key is None:
            return (await act(None)).response()
        body = await request.body()
        fingerprint = hashlib.sha256(f"{request.method} {request.url.path}\n".encode() + body).hexdigest()
        before = await run_in_threadpool(self._claim, client, key, fingerprint)
        if before is not None:
            return before.response(replayed=True)
        mine = (repeats.c.client == client) & (repeats.c.key == key)
        stored = False

        def finish(answer: Answer) -> Executable:
            nonlocal stored
            stored = True
            kept = {"status": answer.status, "headers": orjson.dumps(answer.headers).decode(), "body": answer.body}
            return update(repeats).where(mine).values(**kept)

        try:
            answer = await act(finish)
            if not stored:  # nothing was written, so the same request may do its work again
                await run_in_threadpool(self._release, client, key)
            return answer.response()
        except BaseException:
            await run_in_threadpool(self._release, client, key)
            raise

    def purge(self) -> None:
        """Drop keys that are past their time."""
        with writing(self.engine.connect()) as connection, connection.begin():
            connection.execute(delete(repeats).where(repeats.c.at < stamp(now() - _KEPT)))

    def _claim(self, client: str, key: str, fingerprint: str) -> Answer | None:
        """Claim a key; the answer it has already, or None when the caller is the one to answer. Raises Problem."""
        mine = (repeats.c.client == client) & (repeats.c.key == key)
        moment = now()
        try:
            with writing(self.engine.connect()) as connection, connection.begin():
                row = connection.execute(select(repeats).where(mine)).one_or_none()
                if row is not None and row.status is None and row.at < stamp(moment - _ABANDONED):
                    connection.execute(delete(repeats).where(mine, repeats.c.status.is_(None)))
                    row = None
                if row is None:
                    claim = {"client": client, "key": key, "fingerprint": fingerprint, "at": stamp(moment)}
                    connection.execute(insert(repeats).values(**claim))
                    return None
        except IntegrityError:  # another worker claimed it between the two statements
            raise Problem("in-flight", "Another request with this Idempotency-Key is being answered.") from None
        if row.fingerprint != fingerprint:
            raise Problem("key-reused", "The Idempotency-Key was sent with another request before.")
        if row.status is None:
            raise Problem("in-flight", "A request with this Idempotency-Key is being answered.")
        return Answer(row.status, orjson.loads(row.headers), row.body)

    def _release(self, client: str, key: str) -> None:
        """Give a claim back whose work came to nothing; an answer that was stored stays."""
        mine = (repeats.c.client == client) & (repeats.c.key == key)
        with writing(self.engine.connect()) as connection, connection.begin():
            connection.execute(delete(repeats).where(mine, repeats.c.status.is_(None)))
