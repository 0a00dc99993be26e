"""What a new policy changes: its fields, and the open plans that would stand differently if they were asked for now."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import orjson
from sqlalchemy import Engine, select

from service import requests
from service.bench import Bench
from service.pipeline import consider
from service.policies.shape import LocalPolicy
from service.store.tables import plans, preparations
from service.store.tables_approvals import holds

MOST_PLANS = 1000
_LISTS = frozenset({"/ask_first", "/precursors", "/students/caps"})
_MADE = select(preparations.c.seq).where(preparations.c.plan_id == plans.c.id).exists()
_OPEN = (
    select(plans.c.id, plans.c.seq, plans.c.document, plans.c.read_as, holds.c.state)
    .outerjoin(holds, holds.c.plan_id == plans.c.id)
    .where(plans.c.outcome.in_(("planned", "held")), ~_MADE, holds.c.state.is_(None) | (holds.c.state != "declined"))
    .order_by(plans.c.seq.desc())
)

Document = dict[str, Any]


def changed_fields(before: LocalPolicy, after: LocalPolicy) -> list[Document]:
    """Each field that differs, by its pointer; of lists each entry that was taken out or added."""
    old, new = dict(_flat(_plain(before), "")), dict(_flat(_plain(after), ""))
    found: list[Document] = []
    for pointer in old:
        if pointer in _LISTS:
            found += [{"field": pointer, "before": entry} for entry in old[pointer] if entry not in new[pointer]]
            found += [{"field": pointer, "after": entry} for entry in new[pointer] if entry not in old[pointer]]
        elif old[pointer] != new[pointer]:
            found.append({"field": pointer, "before": old[pointer], "after": new[pointer]})
    return found


def _plain(policy: LocalPolicy) -> Document:
    return policy.model_dump(mode="json", exclude_none=True)


def _flat(value: Document, pointer: str) -> Iterator[tuple[str, Any]]:
    for key, held in value.items():
        where = f"{pointer}/{key}"
        if isinstance(held, dict):
            yield from _flat(held, where)
        else:
            yield where, held


@dataclass(frozen=True, slots=True)
class Stands:
    """How an open plan stands, and the checks that hold or end it by rule."""

    state: str
    why: dict[str, str]


def open_plans(engine: Engine, bench: Bench, most: int = MOST_PLANS) -> Document:
    """The newest ``most`` plans that may still be made and have no record, each planned again on ``bench``.

    ``before`` is where the plan stands, ``after`` where the same request would; an approval that covers what holds it
    then keeps it approved.
    """
    with engine.connect() as connection:
        rows = connection.execute(_OPEN.limit(most + 1)).all()
    changes, totals = [], Counter[tuple[str, str]]()
    for row in rows[:most]:
        document = orjson.loads(row.document)
        before, after = _now(row, document), _again(document, bench)
        if after.state == "held" and before.state == "approved" and set(after.why) <= set(before.why):
            after = Stands("approved", after.why)
        if before.state != after.state:
            totals[before.state, after.state] += 1
            changes.append(_change(row, before, after))
    told = [{"before": before, "after": after, "plans": count} for (before, after), count in sorted(totals.items())]
    return {
        "looked_at": min(len(rows), most),
        "newest_only": len(rows) > most,
        "totals": told,
        "plans": changes,
    }


def _now(row: Any, document: Document) -> Stands:
    held = row.state is not None or "approval" in document
    allowed = row.state == "approved" or "approval" in document
    why = {f["rule"]: f["message"] for f in document["findings"] if f["result"] == "fired" and f["severity"] == "hold"}
    return Stands("approved" if allowed else "held" if held else document["outcome"], why)


def _again(document: Document, bench: Bench) -> Stands:
    try:
        request = requests.read(document["request"])
    except (requests.UnreadableError, KeyError):
        return Stands("not_understood", {"request": "The stored request can be read no longer."})
    judged = consider(request, bench)  # type: ignore[arg-type]
    grave = [f for f in judged.findings if f.result == "fired" and f.severity in ("hold", "stop")]
    return Stands(judged.outcome, {f.rule: f.message for f in grave})


def _change(row: Any, before: Stands, after: Stands) -> Document:
    found: Document = {"plan": row.id, "before": before.state, "after": after.state}
    if row.read_as is not None:
        found["read_as"] = row.read_as
    telling = {r: m for r, m in after.why.items() if r not in before.why} or (
        after.why if after.state != "planned" else before.why
    )
    found["why"] = [{"rule": rule, "message": message} for rule, message in telling.items()]
    return found
