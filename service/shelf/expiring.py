"""What must be used or renewed soon: bottles, and preparations that stand in no bottle of the shelf. Reading only."""

from datetime import date, timedelta
from typing import Any

import orjson
from sqlalchemy import Connection, Engine, func, select

from service.people.clock import now
from service.shelf import bottles
from service.store.tables import plans, preparations
from service.store.tables_shelf import shelf_items

Document = dict[str, Any]
Place = tuple[str, int]


def page(engine: Engine, days: int, after: Place | None, limit: int, only: str | None) -> Document:
    """Everything whose last day is at most ``days`` from today, past ones too, the earliest first.

    What is withdrawn or used up is left out. With ``only``, of the preparations those made from what that client asked for.
    """
    today = now().date()
    until = today + timedelta(days=days)
    with engine.connect() as connection:
        found = [*_bottles(connection, until, today), *_preparations(connection, until, today, only)]
    found.sort(key=lambda pair: pair[0])
    onward = [pair for pair in found if after is None or pair[0] > after]
    lines = [line for _, line in onward[:limit]]
    document: Document = {"until": until.isoformat(), "expiring": lines}
    if len(onward) > limit:
        document["next"] = "{}:{}".format(*onward[limit - 1][0])
    return document


def _bottles(connection: Connection, until: date, today: date) -> list[tuple[Place, Document]]:
    found = []
    for row in connection.execute(select(shelf_items).where(shelf_items.c.expiry <= until.isoformat())).all():
        bottle = bottles.of_row(connection, row)
        state, _ = bottle.state(today)
        if state not in ("withdrawn", "used up"):
            held: Document = {
                key: bottle.document[key] for key in ("strength", "lot", "place", "unit") if key in bottle.document
            }
            line: Document = {**_line(row.id, "bottle", bottle.document["name"], row.expiry, today), **held,
                    "left": bottles.plainly(bottle.left), "state": state}  # fmt: skip
            found.append(((row.expiry, row.seq), line))
    return found


def _preparations(connection: Connection, until: date, today: date, only: str | None) -> list[tuple[Place, Document]]:
    newest = select(func.max(preparations.c.seq)).group_by(preparations.c.id)
    bottled = select(shelf_items.c.preparation_id).where(shelf_items.c.preparation_id.is_not(None))
    query = select(preparations.c.id, preparations.c.seq, preparations.c.document).where(
        preparations.c.seq.in_(newest), preparations.c.status == "made", preparations.c.id.not_in(bottled)
    )
    if only is not None:
        query = query.join(plans, plans.c.id == preparations.c.plan_id).where(plans.c.client == only)
    found: list[tuple[Any, str, Document]] = []
    for row in connection.execute(query):
        document = orjson.loads(row.document)
        expiry = document.get("use_by", {}).get("date")
        if expiry is not None and expiry <= until.isoformat():
            found.append((row, expiry, document))
    lines: list[tuple[Place, Document]] = []
    for row, expiry, document in found:
        events = bottles.events_of(connection, row.id)
        if bottles.withdrawal(events) is None:
            held = bottles.quarantine(events) is not None
            state = "quarantined" if held else "expired" if expiry < today.isoformat() else "in use"
            made = document.get("made", {})
            line = {
                **_line(row.id, "preparation", made.get("name", document["read_as"]), expiry, today),
                "state": state,
            }
            if "concentration" in made:
                line["concentration"] = made["concentration"]["display"]
            lines.append(((expiry, row.seq), line))
    return lines


def _line(identity: str, kind: str, name: str, expiry: str, today: date) -> Document:
    return {
        "id": identity,
        "kind": kind,
        "name": name,
        "expiry": expiry,
        "days": (date.fromisoformat(expiry) - today).days,
    }
