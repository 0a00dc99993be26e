"""Which events are told to others, and in which words: ids and states, never what people wrote."""

from collections.abc import Callable
from typing import Any, Final

import orjson
from sqlalchemy import ColumnElement, Executable, insert, literal, select, true

from service.audit.chain import Entry, Event
from service.store.tables import preparations
from service.store.tables_outbox import deliveries, webhooks
from service.store.tables_policy import policies

TYPES: Final = (
    "plan.held", "plan.approved", "plan.declined", "preparation.recorded", "preparation.quarantined", "policy.changed",
)  # fmt: skip
_TOLD_AS: Final = {"shelf.quarantine": "preparation.quarantined", **{name: name for name in TYPES}}
_STATES: Final = {"plan.held": "held", "plan.approved": "approved", "plan.declined": "declined"}

Document = dict[str, Any]


def announced(event: Event) -> Callable[[Entry], Executable] | None:
    """The statement that puts an event into the outbox of everybody who is told of it; None where nobody ever is."""
    kind = _TOLD_AS.get(event.event)
    if kind is None:
        return None
    return lambda entry: _deliveries(kind, event, entry)


def body_of(kind: str, at: str, event: Event) -> bytes:
    """What is sent: type, time and the ids and states of what happened."""
    return orjson.dumps({"type": kind, "timestamp": at, "data": _data(kind, event)})


def _data(kind: str, event: Event) -> Document:
    told: Document = orjson.loads(event.body)
    if kind == "policy.changed":
        return {"policy": told["n"], "state": "in force"}
    if kind == "preparation.recorded":
        return {"preparation": event.subject, "plan": told["plan"], "state": told["status"]}
    if kind == "preparation.quarantined":
        return {"preparation": event.subject, "state": "quarantined"}
    return {"plan": event.subject, "state": _STATES[kind]}


def _deliveries(kind: str, event: Event, entry: Entry) -> Executable:
    """One row for each active subscription to the type. The message id is that of the audit entry, so it never changes."""
    values = {
        "seq": literal(entry.seq), "webhook_id": webhooks.c.id, "at": literal(entry.at),
        "message_id": literal(f"msg_{entry.seq}_{entry.hash[:16]}"), "type": literal(kind),
        "body": literal(body_of(kind, entry.at, event)), "state": literal("waiting"), "attempts": literal(0),
        "next_at": literal(entry.at),
    }  # fmt: skip
    wanted = (literal(" ") + webhooks.c.types + literal(" ")).contains(f" {kind} ", autoescape=True)
    found = select(*values.values()).where(webhooks.c.active == 1, wanted, _happened(kind, event, entry))
    return insert(deliveries).from_select(list(values), found)


def _happened(kind: str, event: Event, entry: Entry) -> ColumnElement[bool]:
    """A quarantine of a bottle is none of a preparation, and a policy that somebody else overtook did not change."""
    if kind == "preparation.quarantined":
        return select(preparations.c.seq).where(preparations.c.id == event.subject).exists()
    if kind == "policy.changed":
        return select(policies.c.n).where(policies.c.decided_seq == entry.seq, policies.c.state == "in force").exists()
    return true()
