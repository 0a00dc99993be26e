"""People, machines and their keys in the store. Every change is an audit entry that names ids only."""

import builtins
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import orjson
from sqlalchemy import Engine, Executable, Row, delete, select, update

from service.audit.chain import Entry, Event
from service.people import secrets
from service.people.clock import after, now, stamp
from service.people.rights import ROLES, SCOPES
from service.plans.ids import new_id
from service.store.tables_people import api_keys, identities, people, sessions, signing_keys
from service.store.writer import Write, Writer

KeyRow = Row[Any, Any, Any, Any, Any, Any, Any, Any, Any]
KEY_PREFIX = "pw_"
LONGEST_KEY_DAYS = 400


class AccountError(ValueError):
    """An account or key that cannot be made; the message says why."""


@dataclass(frozen=True, slots=True)
class Person:
    """An account as it is listed: never with its password."""

    id: str
    name: str
    full_name: str
    roles: tuple[str, ...]
    active: bool


@dataclass(frozen=True, slots=True)
class NewKey:
    """A key that was just made: ``secret`` is shown once and kept nowhere."""

    id: str
    secret: str
    expires: str

    @property
    def bearer(self) -> str:
        """As it is sent: ``Authorization: Bearer ...``."""
        return f"{KEY_PREFIX}{self.id}_{self.secret}"


@dataclass(frozen=True, slots=True)
class Accounts:
    """The accounts of one database. ``actor`` in each call is the id of who makes the change."""

    engine: Engine
    writer: Writer

    def any(self) -> bool:
        """Whether there is an account at all: without one, the service has a single user and no login."""
        with self.engine.connect() as connection:
            return connection.execute(select(people.c.id).limit(1)).first() is not None

    def list(self) -> list[Person]:
        """Everybody, by name."""
        with self.engine.connect() as connection:
            return [_person(row) for row in connection.execute(select(people).order_by(people.c.name))]

    def page(self, after: str, limit: int) -> tuple[builtins.list[Person], bool]:
        """At most ``limit`` accounts after a name, by name, and whether more follow."""
        query = select(people).where(people.c.name > after).order_by(people.c.name).limit(limit + 1)
        with self.engine.connect() as connection:
            found = [_person(row) for row in connection.execute(query)]
        return found[:limit], len(found) > limit

    def named(self, name: str) -> Row[Any] | None:
        """The row of an account by the name somebody typed."""
        with self.engine.connect() as connection:
            return connection.execute(select(people).where(people.c.name == name.strip().lower())).one_or_none()

    def names(self, ids: Sequence[str]) -> dict[str, str]:
        """The names to show for ids; those of no account are left out."""
        with self.engine.connect() as connection:
            rows = connection.execute(
                select(people.c.id, people.c.name, people.c.full_name).where(people.c.id.in_(ids))
            )
            return {row.id: row.full_name or row.name for row in rows}

    async def add(
        self, name: str, roles: Sequence[str], password: str | None, full_name: str = "", actor: str = "local"
    ) -> str:
        """Make an account; its id. A machine has no password. Raises AccountError."""
        name = name.strip().lower()
        if not 2 <= len(name) <= 64 or not all(c.isalnum() or c in "._-@" for c in name):
            raise AccountError("a name has 2 to 64 letters, digits, dots, dashes or @")
        unknown = [role for role in roles if role not in ROLES]
        if unknown or not roles:
            raise AccountError(f"no role {', '.join(unknown) or 'given'}; there are {', '.join(ROLES)}")
        if ("machine" in roles) != (password is None) or ("machine" in roles and len(roles) > 1):
            raise AccountError("a machine has that role alone and no password; a person has a password")
        if self.named(name) is not None:
            raise AccountError(f"there is an account called {name} already")
        try:
            kept = None if password is None else secrets.hash_password(password)
        except ValueError as fault:
            raise AccountError(str(fault)) from None
        person = new_id()
        row = {
            "id": person, "name": name, "full_name": full_name.strip(), "roles": ",".join(roles), "password": kept,
            "active": 1, "failures": 0, "locked_until": None,
        }  # fmt: skip
        await self.writer.write(Write(event_of(actor, "person.added", person, roles=list(roles)), people, row))
        return person

    async def close(self, person: str, actor: str = "local") -> None:
        """Take an account out of use; its entries in the log stay."""
        statement = update(people).where(people.c.id == person).values(active=0)
        await self.writer.write(Write(event_of(actor, "person.closed", person), also=(lambda _: statement,)))

    async def erase(self, person: str, actor: str = "local") -> None:
        """Take an account out of use and everything that says whose it was; its id, and with it the log, stay."""
        named = {"name": f"erased-{person.lower()}", "full_name": "", "password": None, "active": 0}
        statements = (
            update(people).where(people.c.id == person).values(**named),
            delete(identities).where(identities.c.person_id == person),
            *_no_way_in(person),
        )
        also = tuple(_said(statement) for statement in statements)
        await self.writer.write(Write(event_of(actor, "person.erased", person), also=also))

    async def shut_out(self, person: str) -> None:
        """End every session and key of an account that is known elsewhere and has no role any more."""
        also = tuple(_said(statement) for statement in _no_way_in(person))
        await self.writer.write(Write(event_of("service", "person.shut_out", person), also=also))

    async def add_key(self, person: str, scopes: Sequence[str], days: int, actor: str = "local") -> NewKey:
        """Make an API key of an account, good for ``days``. Raises AccountError."""
        unknown = [scope for scope in scopes if scope not in SCOPES]
        if unknown or not scopes:
            raise AccountError(f"no scope {', '.join(unknown) or 'given'}; there are {', '.join(SCOPES)}")
        if not 1 <= days <= LONGEST_KEY_DAYS:
            raise AccountError(f"a key is good for 1 to {LONGEST_KEY_DAYS} days")
        key = NewKey(new_id(), secrets.new_secret(), after(days=days))
        row = {
            "id": key.id, "person_id": person, "secret_hash": secrets.hash_secret(key.secret),
            "scopes": " ".join(scopes), "expires": key.expires, "withdrawn": 0,
        }  # fmt: skip
        event = event_of(actor, "key.made", key.id, person=person, scopes=list(scopes), expires=key.expires)
        await self.writer.write(Write(event, api_keys, row))
        return key

    async def withdraw_key(self, key: str, actor: str = "local") -> bool:
        """Make a key useless from now on; False when there is none."""
        with self.engine.connect() as connection:
            if connection.execute(select(api_keys.c.id).where(api_keys.c.id == key)).first() is None:
                return False
        statement = update(api_keys).where(api_keys.c.id == key).values(withdrawn=1)
        await self.writer.write(Write(event_of(actor, "key.withdrawn", key), also=(lambda _: statement,)))
        return True

    def key(self, key: str) -> KeyRow | None:
        """A key with its account, as it stands now."""
        query = select(
            api_keys.c.id, api_keys.c.secret_hash, api_keys.c.scopes, api_keys.c.expires, api_keys.c.withdrawn,
            api_keys.c.person_id, people.c.name, people.c.roles, people.c.active,
        ).join(people, people.c.id == api_keys.c.person_id)  # fmt: skip
        with self.engine.connect() as connection:
            return connection.execute(query.where(api_keys.c.id == key)).one_or_none()

    def signing_key(self) -> tuple[str, bytes] | None:
        """Id and secret of the newest key that signs tokens."""
        query = select(signing_keys.c.id, signing_keys.c.secret).order_by(signing_keys.c.seq).limit(1)
        with self.engine.connect() as connection:
            row = connection.execute(query).first()
        return None if row is None else (row.id, row.secret)

    async def make_signing_key(self) -> tuple[str, bytes]:
        """The key that signs tokens, made when there is none. Of two made at once the first counts."""
        found = self.signing_key()
        if found is None:
            row = {"id": new_id(), "secret": secrets.new_secret().encode()}
            await self.writer.write(Write(event_of("service", "signing_key.made", str(row["id"])), signing_keys, row))
            found = self.signing_key()
            assert found is not None
        return found


def usable(row: KeyRow) -> bool:
    """Whether a key may be used now: not withdrawn, not past its time, its account open."""
    return bool(row.active) and not row.withdrawn and row.expires > stamp(now())


def _person(row: Row[Any]) -> Person:
    return Person(row.id, row.name, row.full_name, tuple(row.roles.split(",")), bool(row.active))


def _no_way_in(person: str) -> tuple[Executable, ...]:
    """The statements that end every session and key of an account."""
    return (
        update(api_keys).where(api_keys.c.person_id == person).values(withdrawn=1),
        delete(sessions).where(sessions.c.person_id == person),
    )


def _said(statement: Executable) -> Callable[[Entry], Executable]:
    return lambda _entry: statement


def event_of(actor: str, event: str, subject: str, **told: Any) -> Event:
    """An event of the log; ``told`` must hold no name."""
    return Event(actor, event, subject, orjson.dumps(told, option=orjson.OPT_SORT_KEYS))
