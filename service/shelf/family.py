"""What was made from what: lot, stock, dilution, the bottle handed out."""

from typing import Any

import orjson
from sqlalchemy import Connection, select

from service.plans.ids import read_id
from service.problems import Problem
from service.records.archive import Records
from service.shelf import bottles
from service.store.tables import preparation_uses
from service.store.tables_shelf import shelf_items

Document = dict[str, Any]


def known(records: Records, subject: str) -> None:
    """Raises Problem where ``subject`` is neither a bottle nor a preparation."""
    try:
        with records.engine.connect() as connection:
            bottles.standing(connection, subject)
    except Problem:
        try:
            records.standing(subject)
        except Problem:
            raise Problem("no-such-bottle", "No bottle and no preparation has this id.") from None


def below(records: Records, subject: str) -> list[Document]:
    """Everything made from, or filled from, a bottle or preparation, nearest first; each once."""
    found: list[Document] = []
    seen, waiting = {subject}, [subject]
    with records.engine.connect() as connection:
        while waiting:
            source = waiting.pop(0)
            for kind, one, name in _children(records, connection, source):
                if one in seen:
                    continue
                seen.add(one)
                held = kind != "hand-out" and bottles.quarantine(bottles.events_of(connection, one)) is not None
                found.append({"id": one, "source": source, "kind": kind, "name": name, "quarantined": held})
                if kind != "hand-out":
                    waiting.append(one)
    return found


def _children(records: Records, connection: Connection, source: str) -> list[tuple[str, str, str]]:
    row = connection.execute(select(shelf_items).where(shelf_items.c.id == source)).one_or_none()
    if row is None:
        made = [("preparation", one, _name(records, one)) for one in records.made_from(source)]
        filled = connection.execute(
            select(shelf_items).where(shelf_items.c.preparation_id == source).order_by(shelf_items.c.seq)
        )
        return made + [("bottle", r.id, orjson.loads(r.document)["name"]) for r in filled]
    events = bottles.events_of(connection, source)
    handed = [("hand-out", str(e.seq), orjson.loads(e.document)["to"]) for e in events if e.kind == "hand-out"]
    taken = list(bottles.drawn_for(events))
    if row.lot is not None:
        taken += of_lot(records, connection, row.lot, row.substance)
    return [("preparation", one, _name(records, one)) for one in dict.fromkeys(taken)] + handed


def of_lot(records: Records, connection: Connection, lot: str, substance: str) -> list[str]:
    """The preparations whose newest entry names that lot; a lot of the same number of another substance is left out."""
    query = select(preparation_uses.c.preparation_id).where(preparation_uses.c.lot == lot)
    candidates = dict.fromkeys(connection.execute(query.order_by(preparation_uses.c.seq)).scalars())
    return [
        one for one in candidates
        if any(u.get("lot") == lot and _may_be(u["what"], substance) and read_id(u.get("source", "")) is None
               for u in records.standing(one, connection).document["used"])
    ]  # fmt: skip


def _may_be(what: str, substance: str) -> bool:
    """Whether what was used may be that substance; what cannot be read may be, so that a recall never misses it."""
    try:
        return bottles.named(what, "")[0] == substance
    except Problem:
        return True


def _name(records: Records, preparation: str) -> str:
    document = records.standing(preparation).document
    return str(document.get("made", {}).get("name", document["read_as"]))
