"""Versions of the local policy in the store, and the bench of the one in force.

Every process looks for a new version once a second (``watch``); a version that this process puts in force counts at once.
What two servers decide at the same instant is settled in the database: writes come one after the other, and a
statement that finds the row moved changes nothing.
"""

import asyncio
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import orjson
from sqlalchemy import Engine, Executable, Row, func, insert, literal, select, update
from sqlalchemy.exc import SQLAlchemyError
from sqlalchemy.orm import aliased
from starlette.concurrency import run_in_threadpool

from rules.house import digest
from service.audit.chain import Entry, Event
from service.bench import Bench
from service.logs import logger
from service.policies.building import bench_under, house_of
from service.policies.shape import LocalPolicy
from service.problems import Problem
from service.store.tables_policy import policies
from service.store.writer import Write, Writer

PROPOSED, CHANGED, DECLINED = "policy.proposed", "policy.changed", "policy.declined"
LOOK_EVERY_S = 1.0
SHIPPED = LocalPolicy()
_IN_FORCE = select(policies.c.n).where(policies.c.state == "in force")
_COLUMNS = (
    "n", "seq", "at", "proposed_by", "reason", "based_on", "digest", "state", "decided_at", "decided_by", "decision_reason", "document",
)  # fmt: skip
_LINES = select(*(policies.c[name] for name in _COLUMNS))
_MOST_KEPT = 50


@dataclass(slots=True)
class Policies:
    """The local policies of one database. ``base``: the bench of what is shipped, version 0."""

    engine: Engine
    writer: Writer
    base: Bench
    number: int = 0
    bench: Bench = field(init=False)
    _benches: dict[int, Bench] = field(default_factory=dict)
    _deciding: asyncio.Lock = field(default_factory=asyncio.Lock)

    def __post_init__(self) -> None:
        """Read which version is in force."""
        self.bench = self._benches[0] = self.base
        self.refresh()

    def refresh(self) -> None:
        """Take over the version in force, where it is another one than before."""
        with self.engine.connect() as connection:
            number = connection.execute(_IN_FORCE).scalar() or 0
        if number != self.number:
            self.bench, self.number = self.bench_of(number), number
            logger().info("policy", version=self.bench.policy.version)

    async def watch(self) -> None:
        """Look for a new version until cancelled."""
        while True:
            await asyncio.sleep(LOOK_EVERY_S)
            try:
                await run_in_threadpool(self.refresh)
            except (SQLAlchemyError, ValueError) as error:
                logger().error("policy not read", error=type(error).__name__)

    def bench_of(self, version: int | str | None) -> Bench:
        """The bench of a version, by its number or as a reply names it ("3+4f1c20ab"); None and 0 are what is shipped."""
        number = int(version.partition("+")[0]) if isinstance(version, str) else version or 0
        found = self._benches.get(number)
        if found is None:
            local = self.get(number)
            if local is None:
                raise ValueError(f"there is no policy {number}")
            if len(self._benches) >= _MOST_KEPT:
                self._benches = {0: self.base}
            found = self._benches[number] = bench_under(local, number, self.base)
        return found

    def get(self, number: int) -> LocalPolicy | None:
        """The policy of a number, in force or not."""
        if number == 0:
            return SHIPPED
        with self.engine.connect() as connection:
            kept = connection.execute(select(policies.c.document).where(policies.c.n == number)).scalar()
        return None if kept is None else LocalPolicy.model_validate_json(kept)

    def line(self, number: int) -> Row[Any] | None:
        """A version or proposal as it is kept; None where there is none of that number."""
        with self.engine.connect() as connection:
            return connection.execute(_LINES.where(policies.c.n == number)).one_or_none()

    def page(self, before: int | None, limit: int) -> tuple[list[Row[Any]], bool]:
        """The newest ``limit`` proposals before a number, and whether more follow."""
        query = _LINES.order_by(policies.c.n.desc()).limit(limit + 1)
        with self.engine.connect() as connection:
            rows = connection.execute(query if before is None else query.where(policies.c.n < before)).all()
        return list(rows[:limit]), len(rows) > limit

    async def propose(self, local: LocalPolicy, based_on: int, reason: str, person: str) -> int:
        """Store a proposal; its number. Raises StoreBusyError or StoreDownError."""
        document = local.model_dump_json(exclude_none=True).encode()
        mark = digest(local.pack, house_of(local))

        def added(entry: Entry) -> Executable:
            values = {
                "n": func.coalesce(func.max(policies.c.n), 0) + 1, "seq": literal(entry.seq), "at": literal(entry.at),
                "proposed_by": literal(person), "reason": literal(reason), "based_on": literal(based_on),
                "digest": literal(mark), "document": literal(document), "state": literal("proposed"),
            }  # fmt: skip
            return insert(policies).from_select(list(values), select(*values.values()).select_from(policies))

        told = {"digest": mark, "based_on": based_on, "reason": reason}
        entry = await self.writer.write(Write(_event(person, PROPOSED, "policy", told), also=(added,)))
        with self.engine.connect() as connection:
            return int(connection.execute(select(policies.c.n).where(policies.c.seq == entry.seq)).scalar_one())

    async def decide(
        self,
        number: int,
        confirm: bool,
        reason: str,
        person: str,
        along: tuple[Callable[[Entry], Executable], ...] = (),
    ) -> None:
        """Confirm or decline a proposal. ``along``: statements of the transaction that puts it in force. Raises Problem."""
        async with self._deciding:
            row = await run_in_threadpool(self.line, number)
            if row is None:
                raise Problem("no-such-policy", "No policy has this number.")
            if row.state != "proposed":
                raise Problem("already-decided", f"Policy {number} is {row.state}.")
            in_force = await run_in_threadpool(self._in_force)
            if confirm and row.based_on != in_force:
                detail = (
                    f"Policy {number} was compared with version {row.based_on}; version {in_force} is in force now."
                )
                raise Problem("policy-moved-on", detail)
            told = {"n": number, "before": in_force, "digest": row.digest, "reason": reason}
            event = _event(person, CHANGED if confirm else DECLINED, "policy", told)
            statements = _confirmed(number, person, reason) if confirm else (_declined(number, person, reason),)
            entry = await self.writer.write(Write(event, also=(*statements, *(along if confirm else ()))))
            await run_in_threadpool(self.refresh)
            if not await run_in_threadpool(self._was_decided_by, number, entry):
                raise Problem(
                    "already-decided", f"Policy {number} was decided about by somebody else at the same time."
                )

    def _in_force(self) -> int:
        with self.engine.connect() as connection:
            return connection.execute(_IN_FORCE).scalar() or 0

    def _was_decided_by(self, number: int, entry: Entry) -> bool:
        with self.engine.connect() as connection:
            query = select(policies.c.decided_seq).where(policies.c.n == number)
            return connection.execute(query).scalar() == entry.seq


def _confirmed(number: int, person: str, reason: str) -> tuple[Callable[[Entry], Executable], ...]:
    """Put a proposal in force where the version it was compared with still is; then take that one out of force."""
    other = aliased(policies)
    in_force = select(func.coalesce(func.max(other.c.n), 0)).where(other.c.state == "in force").scalar_subquery()

    def taken(entry: Entry) -> Executable:
        mine = (policies.c.n == number) & (policies.c.state == "proposed") & (policies.c.based_on == in_force)
        return update(policies).where(mine).values(state="in force", **_decided(entry, person, reason))

    def replaced(entry: Entry) -> Executable:
        mine = select(other.c.n).where(other.c.n == number, other.c.decided_seq == entry.seq).exists()
        return (
            update(policies)
            .where(policies.c.state == "in force", policies.c.n != number, mine)
            .values(state="replaced")
        )

    return taken, replaced


def _declined(number: int, person: str, reason: str) -> Callable[[Entry], Executable]:
    mine = (policies.c.n == number) & (policies.c.state == "proposed")
    return lambda entry: update(policies).where(mine).values(state="declined", **_decided(entry, person, reason))


def _decided(entry: Entry, person: str, reason: str) -> dict[str, Any]:
    return {"decided_seq": entry.seq, "decided_at": entry.at, "decided_by": person, "decision_reason": reason}


def _event(actor: str, event: str, subject: str, told: dict[str, Any]) -> Event:
    return Event(actor, event, subject, orjson.dumps(told, option=orjson.OPT_SORT_KEYS))
