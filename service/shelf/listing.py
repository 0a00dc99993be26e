"""Bottles looked for: by substance, place, last day, state, and how little is left. Reading only."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from sqlalchemy import Connection, Engine, select

from service.people.clock import now
from service.shelf import bottles
from service.store.tables_shelf import shelf_items

_CHUNK = 200


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is looked for, joined by 'and'. ``low_pct``: at most that share of what the bottle held is left."""

    substance: str | None = None
    place: str | None = None
    days: int | None = None
    state: str | None = None
    low_pct: int | None = None

    def kept(self, bottle: bottles.Standing, today: date) -> bool:
        """Whether what is worked out from its events is what is looked for."""
        if self.state is not None and bottle.state(today)[0] != self.state:
            return False
        return self.low_pct is None or bottle.left * 100 <= Decimal(bottle.document["amount"]) * self.low_pct


def page(engine: Engine, wanted: Wanted, before: int | None, limit: int) -> tuple[list[bottles.Standing], int | None]:
    """The newest ``limit`` bottles before that place, and where the next page starts."""
    found: list[bottles.Standing] = []
    with engine.connect() as connection:
        for bottle in _each(connection, wanted, before, True):
            if len(found) == limit:
                return found, int(found[-1].row.seq)
            found.append(bottle)
    return found, None


def oldest_first(connection: Connection, wanted: Wanted) -> Iterator[bottles.Standing]:
    """Every bottle looked for. Raises Problem where the substance is none."""
    return _each(connection, wanted, None, False)


def _each(connection: Connection, wanted: Wanted, place: int | None, newest: bool) -> Iterator[bottles.Standing]:
    today = now().date()
    query = select(shelf_items).order_by(shelf_items.c.seq.desc() if newest else shelf_items.c.seq).limit(_CHUNK)
    if wanted.substance is not None:
        query = query.where(shelf_items.c.substance == bottles.named(wanted.substance, "/query/substance")[0])
    if wanted.place is not None:
        query = query.where(shelf_items.c.place == wanted.place)
    if wanted.days is not None:
        query = query.where(shelf_items.c.expiry <= (today + timedelta(days=wanted.days)).isoformat())
    while True:
        onward = query
        if place is not None:
            onward = query.where(shelf_items.c.seq < place if newest else shelf_items.c.seq > place)
        rows = connection.execute(onward).all()
        for row in rows:
            bottle = bottles.of_row(connection, row)
            if wanted.kept(bottle, today):
                yield bottle
        if len(rows) < _CHUNK:
            return
        place = rows[-1].seq
