"""Subscriptions, their secrets and their deliveries in the store. The log names hosts, never secrets or whole addresses."""

import base64
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

import orjson
from sqlalchemy import ColumnElement, Engine, Row, and_, select, tuple_, update

from service.audit.chain import Event
from service.outbox.address import checked
from service.people.clock import now, stamp
from service.plans.ids import new_id
from service.store.engine import writing
from service.store.tables_outbox import deliveries, webhook_secrets, webhooks
from service.store.writer import Write, Writer

PREFIX = "whsec_"
SECRET_BYTES = 32
LEASE = timedelta(seconds=60)  # longer than one attempt may take
_KEY = tuple_(deliveries.c.seq, deliveries.c.webhook_id)


@dataclass(frozen=True, slots=True)
class Outbox:
    """The outbox of one database."""

    engine: Engine
    writer: Writer

    async def subscribe(self, url: str, types: Sequence[str], person: str) -> tuple[str, str]:
        """Make a subscription; its id, and its secret, which is given out this once. Raises AddressError."""
        host = checked(url).hostname
        webhook, secret = new_id(), new_secret()
        kept = list(dict.fromkeys(types))
        row = {"id": webhook, "url": url, "types": " ".join(kept), "active": 1}
        event = _event(person, "webhook.added", webhook, host=host, types=kept)
        key = Write(_event(person, "webhook.secret_made", webhook), webhook_secrets, _secret_row(webhook, secret))
        await self.writer.write(Write(event, webhooks, row), key)
        return webhook, secret

    async def rotate(self, webhook: str, overlap_hours: float, person: str) -> str:
        """Make a new secret; those before it sign beside it for ``overlap_hours`` more. The new secret, this once."""
        secret = new_secret()
        ends = stamp(now() + timedelta(hours=overlap_hours))
        live = (webhook_secrets.c.expires.is_(None)) | (webhook_secrets.c.expires > ends)
        old = update(webhook_secrets).where(webhook_secrets.c.webhook_id == webhook, live)
        event = _event(person, "webhook.secret_made", webhook, overlap_hours=overlap_hours)
        # The statement comes after the row is added, so it leaves that row alone.
        write = Write(event, webhook_secrets, _secret_row(webhook, secret)).followed_by(
            lambda entry: old.where(webhook_secrets.c.seq < entry.seq).values(expires=ends)
        )
        await self.writer.write(write)
        return secret

    async def switch(self, webhook: str, active: bool, person: str) -> None:
        """Turn a subscription on or off. What waited when it was turned off is not sent later."""
        turned = update(webhooks).where(webhooks.c.id == webhook).values(active=int(active))
        write = Write(
            _event(person, "webhook.enabled" if active else "webhook.disabled", webhook), also=(lambda _: turned,)
        )
        if not active:
            waiting = (deliveries.c.webhook_id == webhook) & (deliveries.c.state == "waiting")
            ended = (
                update(deliveries)
                .where(waiting)
                .values(state="dropped", done_at=stamp(now()), answer="subscription off")
            )
            write = write.followed_by(lambda _: ended)
        await self.writer.write(write)

    def get(self, webhook: str) -> Row[Any] | None:
        """A subscription; None where there is none."""
        with self.engine.connect() as connection:
            return connection.execute(select(webhooks).where(webhooks.c.id == webhook)).one_or_none()

    def subscriptions(self, after: int, limit: int) -> tuple[Sequence[Row[Any]], bool]:
        """At most ``limit`` subscriptions after a place, oldest first, and whether more follow."""
        query = select(webhooks).where(webhooks.c.seq > after).order_by(webhooks.c.seq).limit(limit + 1)
        with self.engine.connect() as connection:
            rows = connection.execute(query).all()
        return rows[:limit], len(rows) > limit

    def live_secrets(self, webhook: str) -> list[str]:
        """The secrets that sign now, the newest first."""
        live = webhook_secrets.c.expires.is_(None) | (webhook_secrets.c.expires > stamp(now()))
        query = select(webhook_secrets.c.secret).where(webhook_secrets.c.webhook_id == webhook, live)
        with self.engine.connect() as connection:
            return list(connection.execute(query.order_by(webhook_secrets.c.seq.desc())).scalars())

    def page(self, webhook: str, state: str | None, before: int | None, limit: int) -> tuple[Sequence[Row[Any]], bool]:
        """The newest ``limit`` deliveries before a place, and whether more follow."""
        query = select(deliveries).where(deliveries.c.webhook_id == webhook).order_by(deliveries.c.seq.desc())
        if state is not None:
            query = query.where(deliveries.c.state == state)
        if before is not None:
            query = query.where(deliveries.c.seq < before)
        with self.engine.connect() as connection:
            rows = connection.execute(query.limit(limit + 1)).all()
        return rows[:limit], len(rows) > limit

    def claim(self, sender: str, most: int) -> Sequence[Row[Any]]:
        """Deliveries that are due and that no other sender is at, leased to this one; with the ``url`` to send to."""
        moment = now()
        free = deliveries.c.lease_until.is_(None) | (deliveries.c.lease_until < stamp(moment))
        due = (deliveries.c.state == "waiting") & (deliveries.c.next_at <= stamp(moment)) & free
        query = select(deliveries.c.seq, deliveries.c.webhook_id).where(due).order_by(deliveries.c.next_at).limit(most)
        with self.engine.connect() as connection:
            if connection.execute(query.limit(1)).first() is None:
                return []  # no write lock is taken where nothing is due
        with writing(self.engine.connect()) as connection, connection.begin():
            mine = [tuple(row) for row in connection.execute(query.with_for_update(skip_locked=True))]
            if not mine:
                return []
            lease = {"lease_until": stamp(moment + LEASE), "lease_by": sender}
            connection.execute(update(deliveries).where(_KEY.in_(mine)).values(**lease))
            joined = select(deliveries, webhooks.c.url).join(webhooks, webhooks.c.id == deliveries.c.webhook_id)
            return connection.execute(joined.where(_KEY.in_(mine)).order_by(deliveries.c.seq)).all()

    def settle(self, row: Row[Any], sender: str, state: str, answer: str, next_at: str | None = None) -> None:
        """Write down what came of an attempt, unless another sender has taken the delivery over meanwhile."""
        done = None if state == "waiting" else stamp(now())
        values = {
            "state": state, "attempts": row.attempts + 1, "answer": answer[:200], "done_at": done,
            "next_at": next_at or row.next_at, "lease_until": None, "lease_by": None,
        }  # fmt: skip
        mine = (deliveries.c.lease_by == sender) & (deliveries.c.state == "waiting")
        with writing(self.engine.connect()) as connection, connection.begin():
            connection.execute(update(deliveries).where(_this(row), mine).values(**values))


def new_secret() -> str:
    """A secret as the standard writes it: whsec_ and 32 random bytes in base 64."""
    return PREFIX + base64.b64encode(secrets.token_bytes(SECRET_BYTES)).decode("ascii")


def _this(row: Row[Any]) -> ColumnElement[bool]:
    return and_(deliveries.c.seq == row.seq, deliveries.c.webhook_id == row.webhook_id)


def _secret_row(webhook: str, secret: str) -> dict[str, Any]:
    return {"webhook_id": webhook, "secret": secret, "expires": None}


def _event(actor: str, event: str, subject: str, **told: Any) -> Event:
    return Event(actor, event, subject, orjson.dumps(told, option=orjson.OPT_SORT_KEYS))
