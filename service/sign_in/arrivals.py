"""The account of somebody who comes from elsewhere: made at the first sign-in, with the roles of the newest."""

import asyncio
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import insert, select, update

from service.people.accounts import Accounts, event_of
from service.people.rights import ROLES
from service.plans.ids import new_id
from service.problems import Problem
from service.store.tables_people import identities, people
from service.store.writer import Write

_LONGEST_NAME = 64
_PLAIN = frozenset("abcdefghijklmnopqrstuvwxyz0123456789._-@")


@dataclass(frozen=True, slots=True)
class Arrivals:
    """Accounts that belong to an identity of another service: its ``issuer`` and the ``subject`` it names somebody by."""

    accounts: Accounts
    _lock: asyncio.Lock = field(default_factory=asyncio.Lock)

    async def arrive(self, issuer: str, subject: str, roles: Sequence[str], name: str = "", full_name: str = "") -> str:
        """The id of the account, made or brought up to date. Raises Problem where it was closed here, or nothing is allowed.

        A name that an account here has already is never taken for the same person: the new one gets another name.
        """
        known = [role for role in ROLES if role in roles]
        async with self._lock:
            row = await asyncio.to_thread(self._known, issuer, subject)
            if row is not None and not row.active:
                raise Problem("no-role", "The account was closed here.")
            if not known:
                if row is not None:
                    await self.accounts.shut_out(row.id)
                raise Problem("no-role", "Nothing that the sign-in says of the account gives a role here.")
            if row is None:
                return await self._add(issuer, subject, known, name, full_name)
            if row.roles != ",".join(known):
                changed = update(people).where(people.c.id == row.id).values(roles=",".join(known))
                event = event_of("service", "person.roles_changed", row.id, before=row.roles.split(","), roles=known)
                await self.accounts.writer.write(Write(event, also=(lambda _: changed,)))
            return str(row.id)

    def _known(self, issuer: str, subject: str) -> Any:
        query = (
            select(people.c.id, people.c.active, people.c.roles)
            .join(identities, identities.c.person_id == people.c.id)
            .where(identities.c.issuer == issuer, identities.c.subject == subject)
        )
        with self.accounts.engine.connect() as connection:
            return connection.execute(query).one_or_none()

    async def _add(self, issuer: str, subject: str, roles: list[str], name: str, full_name: str) -> str:
        person = new_id()
        row = {
            "id": person, "name": await asyncio.to_thread(self._free, name, person), "full_name": full_name[:200],
            "roles": ",".join(roles), "password": None, "active": 1, "failures": 0, "locked_until": None,
        }  # fmt: skip
        whose = {"issuer": issuer, "subject": subject, "person_id": person}
        event = event_of("service", "person.added", person, roles=roles, by_sign_in=True)
        write = Write(event, people, row).followed_by(
            lambda entry: insert(identities).values(**whose, seq=entry.seq, at=entry.at)
        )
        await self.accounts.writer.write(write)
        return person

    def _free(self, wanted: str, person: str) -> str:
        plain = "".join(c for c in wanted.strip().lower() if c in _PLAIN)[: _LONGEST_NAME - len(person) - 1]
        if len(plain) >= 2 and self.accounts.named(plain) is None:
            return plain
        return f"{plain or 'account'}-{person.lower()}"
