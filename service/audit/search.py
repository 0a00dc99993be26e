"""Find entries of the log: by substance, class, strength, person, lot, outcome, event and date. Every filter has an index.

Pages go back in time by place (``before``), so a page stays right while new entries come in.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from sqlalchemy import ColumnElement, Connection, Engine, Row, Select, and_, func, select, union_all

from service.audit.terms import CLASS, SUBSTANCE
from service.people.clock import stamp
from service.store.tables import audit, plans, preparation_uses
from service.store.tables_audit import audit_terms

_SKEW = timedelta(seconds=60)  # machines that write to one log have clocks no further apart
_MOST_VALUES = 200  # a database takes only so many selects in one
_LINE = (
    audit.c.seq, audit.c.at, audit.c.actor, audit.c.event, audit.c.subject, audit.c.body, audit.c.hash,
    plans.c.outcome, plans.c.text, plans.c.read_as,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Filters:
    """What is looked for; None or empty is any. ``substances`` and ``classes``: one of them is enough.

    ``over_mol_L``: strictly stronger. ``since`` and ``until``: days, both included, UTC.
    """

    substances: tuple[str, ...] = ()
    classes: tuple[str, ...] = ()
    over_mol_L: float | None = None
    person: str | None = None
    lot: str | None = None
    outcome: str | None = None
    event: str | None = None
    since: date | None = None
    until: date | None = None


@dataclass(frozen=True, slots=True)
class Total:
    """How much of one substance one person asked for, with one outcome: how often, grams in the solutions made.

    ``unknown``: how many of them have no amount that is known; they are in the count and not in the sum.
    """

    substance: str
    person: str
    outcome: str
    count: int
    amount_g: float
    unknown: int


def page(engine: Engine, wanted: Filters, before: int | None, limit: int) -> tuple[list[Any], int | None]:
    """The newest entries before that place, and where the next page starts."""
    with engine.connect() as connection:
        rows = connection.execute(page_query(connection, wanted, before, limit)).all()
    return list(rows[:limit]), rows[limit - 1].seq if len(rows) > limit else None


def page_query(connection: Connection, wanted: Filters, before: int | None, limit: int) -> Select[Any]:
    """The query of a page and one entry more.

    Of many entries of a substance or class only the newest are read: each value looked for gives its own newest, from
    the end of its index, and the page is the newest of those.
    """
    kind, values = (SUBSTANCE, wanted.substances) if wanted.substances else (CLASS, wanted.classes)
    if not values or len(values) > _MOST_VALUES:
        query = lines(connection, wanted).limit(limit + 1)
        return query if before is None else query.where(audit.c.seq < before)
    each = []
    for value in values:
        newest = select(audit_terms.c.seq).join(audit, audit.c.seq == audit_terms.c.seq)
        newest = newest.where(_terms(kind, (value,), wanted.over_mol_L if kind == SUBSTANCE else None))
        newest = newest.where(*_plain(connection, wanted))
        if wanted.outcome is not None:
            newest = newest.join(plans, plans.c.seq == audit.c.seq).where(plans.c.outcome == wanted.outcome)
        if kind == SUBSTANCE and wanted.classes:
            newest = newest.where(_in_terms(CLASS, wanted.classes, None))
        if wanted.lot is not None:
            newest = newest.where(_in_lot(wanted.lot))
        if before is not None:
            newest = newest.where(audit_terms.c.seq < before)
        each.append(select(newest.order_by(audit_terms.c.seq.desc()).limit(limit + 1).subquery().c.seq))
    every = select(*_LINE).select_from(audit).join(plans, plans.c.seq == audit.c.seq, isouter=True)
    return every.where(audit.c.seq.in_(union_all(*each))).order_by(audit.c.seq.desc()).limit(limit + 1)


def lines(connection: Connection, wanted: Filters) -> Select[Any]:
    """The query for entries, newest first."""
    query = select(*_LINE).select_from(audit)
    query = query.join(plans, plans.c.seq == audit.c.seq, isouter=wanted.outcome is None)
    if wanted.outcome is not None:
        query = query.where(plans.c.outcome == wanted.outcome)
    if wanted.substances:
        query = query.where(_in_terms(SUBSTANCE, wanted.substances, wanted.over_mol_L))
    if wanted.classes:
        query = query.where(_in_terms(CLASS, wanted.classes, None))
    if wanted.lot is not None:
        query = query.where(_in_lot(wanted.lot))
    return query.where(*_plain(connection, wanted)).order_by(audit.c.seq.desc())


def in_order(connection: Connection, wanted: Filters) -> Iterator[Sequence[Row[Any]]]:
    """Every entry that is looked for, oldest first, in groups, so that a long answer does not fill the memory."""
    query = lines(connection, wanted).add_columns(audit.c.prev_hash).order_by(None).order_by(audit.c.seq)
    yield from connection.execution_options(yield_per=200).execute(query).partitions()


def found_terms(connection: Connection, wanted: Filters, places: Sequence[int]) -> dict[int, list[Any]]:
    """The substances looked for in each of these entries: ``value``, ``strength`` in mol/L, ``amount_g``."""
    found: dict[int, list[Any]] = {}
    if wanted.substances:
        terms = audit_terms.c
        query = select(terms.seq, terms.value, terms.strength, terms.amount_g).order_by(terms.seq, terms.value)
        query = query.where(_terms(SUBSTANCE, wanted.substances, wanted.over_mol_L), terms.seq.in_(places))
        for row in connection.execute(query):
            found.setdefault(row.seq, []).append(row)
    return found


def totals(engine: Engine, wanted: Filters) -> list[Total]:
    """How much of each substance looked for, by person and outcome; empty when no substance is looked for."""
    if not wanted.substances:
        return []
    terms = audit_terms
    with engine.connect() as connection:
        query = (
            select(
                terms.c.value,
                audit.c.actor,
                plans.c.outcome,
                func.count(),
                func.coalesce(func.sum(terms.c.amount_g), 0.0),
                func.count() - func.count(terms.c.amount_g),
            )
            .select_from(terms)
            .join(audit, audit.c.seq == terms.c.seq)
            .join(plans, plans.c.seq == audit.c.seq)
            .where(_terms(SUBSTANCE, wanted.substances, wanted.over_mol_L), *_plain(connection, wanted))
            .group_by(terms.c.value, audit.c.actor, plans.c.outcome)
            .order_by(terms.c.value, audit.c.actor, plans.c.outcome)
        )
        if wanted.outcome is not None:
            query = query.where(plans.c.outcome == wanted.outcome)
        if wanted.classes:
            other = audit_terms.alias()
            found = select(other.c.seq).where(other.c.kind == CLASS, other.c.value.in_(wanted.classes))
            query = query.where(audit.c.seq.in_(found))
        if wanted.lot is not None:
            query = query.where(_in_lot(wanted.lot))
        return [Total(*row) for row in connection.execute(query)]


def without_strength(engine: Engine, wanted: Filters) -> int:
    """How many planned or held replies about the substances have a strength that is not known in mol/L: they are in no
    answer to 'stronger than'."""
    if wanted.over_mol_L is None:
        return 0
    unknown = _terms(SUBSTANCE, wanted.substances, None)
    with engine.connect() as connection:
        query = (
            select(func.count())
            .select_from(audit_terms)
            .join(audit, audit.c.seq == audit_terms.c.seq)
            .join(plans, plans.c.seq == audit_terms.c.seq)
            .where(unknown, audit_terms.c.strength.is_(None), plans.c.outcome.in_(("planned", "held")))
            .where(*_plain(connection, wanted))
        )
        return int(connection.execute(query).scalar_one())


def _in_terms(kind: str, values: tuple[str, ...], over: float | None) -> ColumnElement[bool]:
    return audit.c.seq.in_(select(audit_terms.c.seq).where(_terms(kind, values, over)))


def _in_lot(lot: str) -> ColumnElement[bool]:
    return audit.c.seq.in_(select(preparation_uses.c.seq).where(preparation_uses.c.lot == lot))


def _terms(kind: str, values: tuple[str, ...], over: float | None) -> ColumnElement[bool]:
    found = and_(audit_terms.c.kind == kind, audit_terms.c.value.in_(values))
    return found if over is None else and_(found, audit_terms.c.strength > over)


def _plain(connection: Connection, wanted: Filters) -> list[ColumnElement[bool]]:
    """The filters on the entry itself. Days become places first, so that they bound the pages and not the clock alone."""
    found: list[ColumnElement[bool]] = []
    if wanted.person is not None:
        found.append(audit.c.actor == wanted.person)
    if wanted.event is not None:
        found.append(audit.c.event == wanted.event)
    if wanted.since is not None:
        began = f"{wanted.since.isoformat()}T00:00:00.000000Z"
        found += [audit.c.at >= began, audit.c.seq >= _first_at(connection, _shifted(began, -_SKEW))]
    if wanted.until is not None:
        ended = f"{(wanted.until + timedelta(days=1)).isoformat()}T00:00:00.000000Z"
        found += [audit.c.at < ended, audit.c.seq <= _first_at(connection, _shifted(ended, _SKEW))]
    return found


def _first_at(connection: Connection, at: str) -> int:
    """The place of the first entry at or after a time; past the end when there is none."""
    query = select(audit.c.seq).where(audit.c.at >= at).order_by(audit.c.at, audit.c.seq).limit(1)
    return connection.execute(query).scalar() or 2**62


def _shifted(at: str, by: timedelta) -> str:
    return stamp(datetime.fromisoformat(at) + by)
