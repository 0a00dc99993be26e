"""Conversations in the store: one row for each message, written with its reply and its audit entries in one transaction."""

import asyncio
import hashlib
from dataclasses import dataclass, field
from typing import Any
from weakref import WeakValueDictionary

import orjson
from sqlalchemy import Engine, select
from starlette.concurrency import run_in_threadpool

from grammar.request import Request
from service.approvals.archive import Holds
from service.approvals.settle import NO_WISH, Wish, queue_write, settle
from service.audit.chain import Event
from service.bench import Bench
from service.conversations.state import State, from_json, request_of, standing, to_json
from service.conversations.turn import take, turn
from service.plans.archive import Archive, Stored
from service.plans.ids import new_id
from service.store.tables import audit, conversations, plans
from service.store.writer import Write, Writer

OPENED, MESSAGE = "conversation.opened", "conversation.message"

_NEWEST = select(conversations.c.n, conversations.c.state).order_by(conversations.c.seq.desc()).limit(1)
_OPENER = select(audit.c.actor).join(conversations, conversations.c.seq == audit.c.seq).where(conversations.c.n == 0)
_MESSAGES = (
    select(
        conversations.c.n,
        conversations.c.at,
        conversations.c.taken_for,
        conversations.c.plan_id,
        conversations.c.state,
        plans.c.text,
        plans.c.outcome,
    )
    .outerjoin(plans, plans.c.id == conversations.c.plan_id)
    .order_by(conversations.c.seq)
)


@dataclass(frozen=True, slots=True)
class Said:
    """A stored reply and what its message was taken for."""

    stored: Stored
    taken_for: str


@dataclass(frozen=True, slots=True)
class Conversations:
    """The conversations of one database. Messages to one conversation are taken one after the other in a process."""

    engine: Engine
    writer: Writer
    archive: Archive
    holds: Holds
    _locks: "WeakValueDictionary[str, asyncio.Lock]" = field(default_factory=WeakValueDictionary)

    def __post_init__(self) -> None:
        """Make the reader of stored requests once, so that no message waits for it."""
        request_of({"components": []})

    async def open(self, client: str) -> str:
        """Begin a conversation; its id. Raises StoreBusyError or StoreDownError."""
        conversation = new_id()
        await self.writer.write(_write(OPENED, client, conversation, 0, None, None, State()))
        return conversation

    def may_see(self, conversation: str, client: str) -> bool:
        """Whether the client opened the conversation."""
        with self.engine.connect() as connection:
            return connection.execute(_OPENER.where(conversations.c.id == conversation)).scalar() == client

    async def say(
        self, conversation: str, asked: str | Request, bench: Bench, client: str, wish: Wish = NO_WISH
    ) -> Said | None:
        """Take a message; None when there is no such conversation. Raises StoreBusyError or StoreDownError."""
        lock = self._locks.setdefault(conversation, asyncio.Lock())
        async with lock:
            kept = await run_in_threadpool(self._newest, conversation)
            if kept is None:
                return None
            n, state = kept
            text = asked if isinstance(asked, str) else None
            taken = turn(state, asked, bench) if isinstance(asked, str) else take(state, asked, bench)
            document = {key: value for key, value in taken.reply.document.items() if key != "taken_for"}
            settled = await settle(self.holds, document, client, wish)
            stored = await self.archive.store(
                text,
                settled.document,
                client,
                lambda plan_id: (
                    _write(MESSAGE, client, conversation, n + 1, plan_id, taken.taken_for, taken.state),
                    queue_write(self.holds, settled, plan_id, client, wish),
                ),
            )
            return Said(stored, taken.taken_for)

    def history(self, conversation: str) -> dict[str, Any] | None:
        """The conversation as it stands: its messages, the last request and the open question; None when unknown."""
        with self.engine.connect() as connection:
            rows = connection.execute(_MESSAGES.where(conversations.c.id == conversation)).all()
        if not rows:
            return None
        state = from_json(orjson.loads(rows[-1].state))
        messages = [
            {
                key: value
                for key, value in (
                    ("n", r.n),
                    ("at", r.at),
                    ("text", r.text),
                    ("taken_for", r.taken_for),
                    ("outcome", r.outcome),
                    ("plan", r.plan_id),
                )
                if value is not None
            }
            for r in rows
            if r.plan_id is not None
        ]
        return {"conversation": conversation, "at": rows[0].at, "messages": messages, **standing(state)}

    def _newest(self, conversation: str) -> tuple[int, State] | None:
        with self.engine.connect() as connection:
            row = connection.execute(_NEWEST.where(conversations.c.id == conversation)).one_or_none()
        return None if row is None else (row.n, from_json(orjson.loads(row.state)))


def _write(
    event: str, client: str, conversation: str, n: int, plan_id: str | None, taken_for: str | None, state: State
) -> Write:
    body = orjson.dumps(to_json(state))
    told = {"n": n, "plan": plan_id, "taken_for": taken_for, "state_hash": hashlib.sha256(body).hexdigest()}
    row = {"id": conversation, "n": n, "plan_id": plan_id, "taken_for": taken_for, "state": body}
    return Write(
        Event(client, event, conversation, orjson.dumps(told, option=orjson.OPT_SORT_KEYS)), conversations, row
    )
