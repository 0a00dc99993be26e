"""Holds and decisions in the store: the queue, what is decided, and which approval covers a request that comes again."""

import asyncio
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import orjson
from sqlalchemy import Connection, Engine, Executable, Row, distinct, func, select, tuple_, update

from rules.policies import Policy
from service.approvals.conditions import Asked, Conditions, departs, from_document
from service.approvals.held import NO_DATE, Held, read_held
from service.approvals.issue import Approvals, Decision, may_be_issued, only_for
from service.audit.chain import Entry, Event
from service.people.clock import now
from service.problems import Problem
from service.store.tables import audit, plans
from service.store.tables_approvals import decisions, holds
from service.store.writer import Write, Writer

HELD, APPROVED, FIRST_OF_TWO, DECLINED = "plan.held", "plan.approved", "plan.approved_by_one", "plan.declined"
_MOST_TRIED = 20  # approvals of the same request that are looked at, newest first

_HOLD = select(holds, plans.c.outcome, plans.c.document).join(plans, plans.c.id == holds.c.plan_id)
_DECISIONS = select(decisions).order_by(decisions.c.seq)
_PLACE = tuple_(holds.c.rank, holds.c.needed_by, holds.c.seq)


@dataclass(frozen=True, slots=True)
class Standing:
    """A held plan as it stands: its row (with ``outcome`` and ``document``) and what was decided."""

    row: Row[Any]
    approvals: Approvals


@dataclass(frozen=True, slots=True)
class Covered:
    """What the approvals of the same request say to a new one: the plan that was approved, or why none covers it."""

    plan_id: str | None
    approvals: Approvals
    reason: str | None


@dataclass(frozen=True, slots=True)
class Holds:
    """The holds of one database; ``policy`` gives the policy in force."""

    engine: Engine
    writer: Writer
    policy: Callable[[], Policy]
    _deciding: asyncio.Lock = field(default_factory=asyncio.Lock)

    def read(self, document: dict[str, Any]) -> Held:
        """Why a reply is held."""
        return read_held(document, self.policy())

    def write(self, held: Held, plan_id: str, asker: str, needed_by: str | None, room: str | None) -> Write:
        """The write that puts a held plan into the queue; it belongs to the transaction of the plan."""
        told = {"rules": sorted(held.rules), "needs": held.needs, "needed_by": needed_by, "room": room}
        row = {
            "plan_id": plan_id, "asker": asker, "state": "waiting", "rank": held.rank, "needs": held.needs,
            "needed_by": needed_by or NO_DATE, "same": held.same,
        }  # fmt: skip
        return Write(_event(asker, HELD, plan_id, told), holds, row)

    def covered(self, held: Held, asked: Asked) -> Covered | None:
        """The newest approval that covers the request, else why the newest one does not; None when there is none."""
        if not held.approvable:
            return None
        query = _HOLD.where(holds.c.same == held.same, holds.c.state == "approved").order_by(holds.c.seq.desc())
        first: Covered | None = None
        with self.engine.connect() as connection:
            for row in connection.execute(query.limit(_MOST_TRIED)).all():
                approvals = _approvals(connection, row.plan_id, row.needs)
                allowed = self.read(orjson.loads(row.document))
                reasons = (departs(d.conditions, allowed, held, asked) for d in approvals.decisions)
                reason = next(filter(None, reasons), None)
                if approvals.state == "approved" and reason is None and approvals.needs >= held.needs:
                    return Covered(row.plan_id, approvals, None)
                first = first or Covered(row.plan_id, approvals, reason or "it was allowed by too few people")
        return first

    def standing(self, plan_id: str) -> Standing | None:
        """A held plan and its decisions; None when the plan is not held or there is none."""
        with self.engine.connect() as connection:
            row = connection.execute(_HOLD.where(holds.c.plan_id == plan_id)).one_or_none()
            return None if row is None else Standing(row, _approvals(connection, plan_id, row.needs))

    def wished(self, plan_id: str) -> tuple[str | None, str | None] | None:
        """By which day and for which room a held plan was asked for, as the log has it; None when it was not held."""
        query = select(audit.c.body).where(audit.c.subject == plan_id, audit.c.event == HELD).limit(1)
        with self.engine.connect() as connection:
            body = connection.execute(query).scalar()
        if body is None:
            return None
        told = orjson.loads(body)
        return told["needed_by"], told["room"]

    def approved(self, plan_id: str) -> bool:
        """Whether a held plan may be issued today."""
        found = self.standing(plan_id)
        return found is not None and may_be_issued(found.row, found.approvals, now().date()) is None

    def refuse_others(self, plan_id: str, person: str) -> None:
        """Raises Problem where an approval, of the plan or one that it cites, lets only other people make it."""
        found = self.standing(plan_id)
        if found is None:
            with self.engine.connect() as connection:
                kept = connection.execute(select(plans.c.document).where(plans.c.id == plan_id)).scalar()
            cited = {} if kept is None else orjson.loads(kept).get("approval", {})
            named = [from_document(d["conditions"]) for d in cited.get("decisions", ())]
            decided = tuple(Decision("", "", "approve", "", conditions) for conditions in named)
        else:
            decided = found.approvals.decisions
        people = only_for(decided)
        if people is not None and person not in people:
            raise Problem("not-among-people", "The approval of this plan names the people who may make it.")

    def queue(self, state: str, after: Sequence[Any] | None, limit: int) -> tuple[list[Standing], bool]:
        """Held plans in that state, worst first, then by the day they are needed, then by age; and whether more follow."""
        query = _HOLD.add_columns(plans.c.text, plans.c.read_as).where(holds.c.state == state)
        if after is not None:
            query = query.where(tuple_(*after) < _PLACE)
        query = query.order_by(holds.c.rank, holds.c.needed_by, holds.c.seq).limit(limit + 1)
        with self.engine.connect() as connection:
            rows = connection.execute(query).all()
            found = [Standing(row, _approvals(connection, row.plan_id, row.needs)) for row in rows[:limit]]
        return found, len(rows) > limit

    async def decide(
        self, plan_id: str, decision: Decision, keep: Callable[[Approvals], Executable] | None = None, least: int = 1
    ) -> Approvals:
        """Add a decision to a plan that waits, and give where it stands then; ``keep`` makes a statement of the same
        transaction from that. ``least``: how many people must allow it under the policy in force; more than before
        counts. Raises Problem, StoreBusyError or StoreDownError.
        """
        async with self._deciding:
            fresh = await asyncio.to_thread(self.standing, plan_id)
            assert fresh is not None
            if fresh.row.state == "closed":
                raise Problem("withdrawn", "The plan was withdrawn.")
            if fresh.approvals.state != "waiting":
                raise Problem("already-decided", f"The plan was {fresh.approvals.state} already.")
            if any(d.person == decision.person for d in fresh.approvals.decisions):
                raise Problem("already-decided", "You have allowed it already; a second person is needed.")
            needs = max(fresh.approvals.needs, least)
            after = Approvals((*fresh.approvals.decisions, decision), needs)
            event = {"declined": DECLINED, "approved": APPROVED, "waiting": FIRST_OF_TWO}[after.state]
            told = {
                "before": fresh.approvals.state, "after": after.state, "decision": decision.decision,
                "reason": decision.reason, "conditions": decision.conditions.document(),
            }  # fmt: skip
            row = {
                "plan_id": plan_id, "person": decision.person, "decision": decision.decision,
                "reason": decision.reason, "conditions": orjson.dumps(decision.conditions.document()).decode(),
            }  # fmt: skip

            def standing(entry: Entry) -> Approvals:
                dated = replace(decision, at=entry.at)
                return Approvals((*fresh.approvals.decisions, dated), needs)

            raised = update(holds).where(holds.c.plan_id == plan_id, holds.c.needs < needs).values(needs=needs)
            also: list[Callable[[Entry], Executable]] = [lambda _: raised, _moved(plan_id, decision)]
            if keep is not None:
                also.append(lambda entry: keep(standing(entry)))
            write = Write(_event(decision.person, event, plan_id, told), decisions, row, also=tuple(also))
            return standing(await self.writer.write(write))


def _moved(plan_id: str, decision: Decision) -> Callable[[Entry], Executable]:
    """The statement that moves the plan out of the queue once enough different people have allowed it, or one declined."""
    waiting = update(holds).where(holds.c.plan_id == plan_id, holds.c.state == "waiting")
    if decision.decision == "decline":
        statement = waiting.values(state="declined")
    else:
        allowed = (
            select(func.count(distinct(decisions.c.person)))
            .where(decisions.c.plan_id == plan_id, decisions.c.decision == "approve")
            .scalar_subquery()
        )
        statement = waiting.where(holds.c.needs <= allowed).values(state="approved")
    return lambda _entry: statement


def _approvals(connection: Connection, plan_id: str, needs: int) -> Approvals:
    rows = connection.execute(_DECISIONS.where(decisions.c.plan_id == plan_id))
    return Approvals(
        tuple(Decision(r.person, r.at, r.decision, r.reason, _conditions(r.conditions)) for r in rows),
        needs,
    )


def _conditions(kept: str) -> Conditions:
    return from_document(orjson.loads(kept))


def _event(actor: str, event: str, subject: str, told: dict[str, Any]) -> Event:
    return Event(actor, event, subject, orjson.dumps(told, option=orjson.OPT_SORT_KEYS))
