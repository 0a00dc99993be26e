"""Sign-ins that were begun and are not finished: kept here, so that each can be finished once and in any worker.

The rows live for minutes and say nothing of anybody, so they are no part of the log.
"""

import secrets
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Engine, delete, insert, select

from service.people.clock import after, now, stamp
from service.people.secrets import hash_secret
from service.store.engine import writing
from service.store.tables_people import handshakes

MINUTES = 10


@dataclass(frozen=True, slots=True)
class Handshakes:
    """The unfinished sign-ins of one database."""

    engine: Engine

    def begin(self, kind: str, state: str, nonce: str, kept: str = "") -> None:
        """Remember what the answer to ``state`` must carry, for ten minutes; what is past its time is dropped."""
        row = {"state_hash": hash_secret(state), "kind": kind, "nonce": nonce, "kept": kept,
               "expires": after(minutes=MINUTES)}  # fmt: skip
        with writing(self.engine.connect()) as connection, connection.begin():
            connection.execute(delete(handshakes).where(handshakes.c.expires < stamp(now())))
            connection.execute(insert(handshakes).values(**row))

    def finish(self, kind: str, state: str) -> tuple[str, str] | None:
        """The nonce and what was kept, once; None for a state that is unknown, over or was used."""
        mine = (handshakes.c.state_hash == hash_secret(state)) & (handshakes.c.kind == kind)
        with writing(self.engine.connect()) as connection, connection.begin():
            row: Any = connection.execute(select(handshakes).where(mine)).one_or_none()
            if row is None or connection.execute(delete(handshakes).where(mine)).rowcount != 1:
                return None
        return (row.nonce, row.kept) if row.expires >= stamp(now()) else None


def new_state() -> str:
    """A text that nobody guesses."""
    return secrets.token_urlsafe(32)
