"""A held reply meets the approvals there are: it is planned and cites one, or stays held and says why none covers it."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from starlette.concurrency import run_in_threadpool

from service.approvals.archive import Holds
from service.approvals.conditions import Asked
from service.approvals.held import Held
from service.approvals.issue import Approvals
from service.people.clock import now
from service.store.writer import Write

RULE = "approval"


@dataclass(frozen=True, slots=True)
class Wish:
    """What came with a request besides what is to be made: by when, and for which room."""

    needed_by: str | None = None
    room: str | None = None


NO_WISH = Wish()


@dataclass(frozen=True, slots=True)
class Settled:
    """The reply to store. ``held`` when it goes into the queue."""

    document: dict[str, Any]
    held: Held | None


async def settle(holds: Holds, document: dict[str, Any], person: str, wish: Wish = NO_WISH) -> Settled:
    """The reply as it stands with the approvals; anything but a held one comes back as it is."""
    if document["outcome"] != "held":
        return Settled(document, None)
    held = holds.read(document)
    today: date = now().date()
    found = await run_in_threadpool(holds.covered, held, Asked(person, wish.room, today))
    if found is None:
        return Settled(document, held)
    if found.reason is not None:
        message = f"The approval of plan {found.plan_id} does not cover this request: {found.reason}."
        return Settled(_with(document, message, "Ask within its conditions, or wait for a new decision."), held)
    message = f"Held, and allowed by the approval of plan {found.plan_id}: {found.approvals.decisions[-1].reason}"
    allowed = _with(document, message, "Keep to the conditions of the approval.")
    allowed["outcome"] = "planned"
    return Settled({**allowed, "approval": approval_document(found.approvals, found.plan_id)}, None)


def queue_write(holds: Holds, settled: Settled, plan_id: str, person: str, wish: Wish) -> Write | None:
    """The write that puts a reply that stays held into the queue."""
    if settled.held is None:
        return None
    return holds.write(settled.held, plan_id, person, wish.needed_by, wish.room)


def approval_document(approvals: Approvals, plan_id: str | None, needed_by: str | None = None) -> dict[str, Any]:
    """The state of a held plan as clients see it; decisions oldest first, people by id."""
    found: dict[str, Any] = {"state": approvals.state, "needs": approvals.needs, "given": approvals.given}
    if plan_id is not None:
        found["plan"] = plan_id
    if needed_by is not None:
        found["needed_by"] = needed_by
    found["decisions"] = [
        {
            "by": d.person,
            "at": d.at,
            "decision": d.decision,
            "reason": d.reason,
            "conditions": d.conditions.document(),
        }
        for d in approvals.decisions
    ]
    return found


def _with(document: dict[str, Any], message: str, remedy: str) -> dict[str, Any]:
    finding = {
        "rule": RULE,
        "group": RULE,
        "severity": "note",
        "result": "fired",
        "message": message,
        "remedy": remedy,
        "citations": [],
    }
    return {**document, "findings": [*document["findings"], finding]}
