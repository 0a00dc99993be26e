"""Plans that were withdrawn: a row that is only added, with who and why. The reply itself is kept as it was given."""

import asyncio
from dataclasses import dataclass, field
from typing import Any

import orjson
from sqlalchemy import Engine, Executable, select, update
from starlette.concurrency import run_in_threadpool

from service.audit.chain import Entry, Event
from service.problems import Problem
from service.store.tables_approvals import holds, withdrawals
from service.store.writer import Write, Writer

WITHDRAWN = "plan.withdrawn"
_FIRST = select(withdrawals.c.person, withdrawals.c.at, withdrawals.c.reason).order_by(withdrawals.c.seq).limit(1)


@dataclass(frozen=True, slots=True)
class Withdrawals:
    """The withdrawals of one database. Of two made at the same instant by two processes the first counts."""

    engine: Engine
    writer: Writer
    _lock: asyncio.Lock = field(default_factory=asyncio.Lock)

    def of(self, plan_id: str) -> dict[str, Any] | None:
        """Who withdrew a plan (``by``, an id), when (``at``) and why (``reason``); None where nobody did."""
        with self.engine.connect() as connection:
            row = connection.execute(_FIRST.where(withdrawals.c.plan_id == plan_id)).one_or_none()
        return None if row is None else {"by": row.person, "at": row.at, "reason": row.reason}

    def refuse(self, plan_id: str) -> None:
        """Raises Problem where a plan was withdrawn."""
        found = self.of(plan_id)
        if found is not None:
            raise Problem("withdrawn", f"The plan was withdrawn on {found['at'][:10]}: {found['reason']}")

    async def withdraw(self, plan_id: str, person: str, reason: str) -> tuple[dict[str, Any], Entry]:
        """Withdraw a stored plan and take it out of the queue; what ``of`` then gives, and the audit entry.

        Raises Problem where it was withdrawn before, StoreBusyError or StoreDownError.
        """
        told = orjson.dumps({"reason": reason}, option=orjson.OPT_SORT_KEYS)
        row = {"plan_id": plan_id, "person": person, "reason": reason}
        async with self._lock:
            await run_in_threadpool(self.refuse, plan_id)
            write = Write(Event(person, WITHDRAWN, plan_id, told), withdrawals, row, also=(_out_of_queue(plan_id),))
            entry = await self.writer.write(write)
        return {"by": person, "at": entry.at, "reason": reason}, entry


def _out_of_queue(plan_id: str) -> Any:
    """The statement after which the plan waits no longer and its approval covers nothing more."""
    statement: Executable = update(holds).where(holds.c.plan_id == plan_id).values(state="closed")
    return lambda _entry: statement
