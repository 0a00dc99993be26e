"""How people and machines come in: by password, session, API key or token; and who a request is from."""

import time
from dataclasses import dataclass, field
from typing import Any

import orjson
from sqlalchemy import Row, select, update
from starlette.concurrency import run_in_threadpool

from service.audit.chain import Event
from service.people import secrets
from service.people.accounts import KEY_PREFIX, Accounts, usable
from service.people.clock import after, now, stamp
from service.people.limits import Limit
from service.people.rights import Caller, rights_of
from service.problems import Problem
from service.settings import Settings
from service.store.tables_people import people, sessions
from service.store.writer import Write

_REMEMBERED_S = 5.0  # a key or session that was withdrawn elsewhere is good for this long at most
_LOOK_AGAIN_S = 2.0  # how long "there are no accounts" is believed
_MOST_REMEMBERED = 10_000
_WRONG = "No active account has this name with this password."


@dataclass(slots=True)
class Door:
    """Who may come in to one service. Remembers who showed a credential for some seconds, so that a call costs nothing."""

    accounts: Accounts
    settings: Settings
    logins: Limit = field(init=False)
    arrivals: Limit = field(init=False)
    calls: Limit = field(init=False)
    _known: dict[str, tuple[float, Caller]] = field(default_factory=dict)
    _alone: bool = field(init=False)
    _look_at: float = 0.0

    def __post_init__(self) -> None:
        """Limits as the settings say. Where people sign in elsewhere, nobody is ever alone."""
        self._alone = not self.settings.signs_in_elsewhere
        self.arrivals = Limit(self.settings.sign_ins_a_minute)
        self.logins = Limit(self.settings.logins_a_minute)
        self.calls = Limit(self.settings.calls_a_minute)

    async def single_user(self) -> bool:
        """Whether there are no accounts. Once there is one, never again."""
        if self._alone and time.monotonic() >= self._look_at:
            self._alone = not await run_in_threadpool(self.accounts.any)
            self._look_at = time.monotonic() + _LOOK_AGAIN_S
        return self._alone

    def forget(self) -> None:
        """Believe nothing that was remembered: the next request is looked up."""
        self._known.clear()
        self._look_at = 0.0

    async def log_in(self, name: str, password: str, address: str) -> tuple[str, Caller]:
        """A new session's token and its caller. Raises Problem."""
        self._count(self.logins, address)
        row = await run_in_threadpool(self.accounts.named, name)
        if row is not None and row.locked_until is not None and row.locked_until > stamp(now()):
            raise Problem("too-many-requests", "The account is locked after wrong passwords.", headers=self._locked())
        kept = row.password if row is not None and row.active else None
        if not await run_in_threadpool(secrets.password_fits, kept, password):
            await self._failed(None if row is None else row.id, 0 if row is None else row.failures)
            raise Problem("wrong-login", _WRONG)
        assert row is not None
        return await self._enter(row, "password")

    async def enter(self, person: str, way: str) -> tuple[str, Caller]:
        """A session for somebody whom another service has vouched for (``way``): its token and its caller."""
        with self.accounts.engine.connect() as connection:
            row = connection.execute(select(people).where(people.c.id == person)).one()
        return await self._enter(row, way)

    async def _enter(self, row: Row[Any], way: str) -> tuple[str, Caller]:
        token = secrets.new_secret()
        held = {
            "token_hash": secrets.hash_secret(token), "person_id": row.id,
            "expires": after(hours=self.settings.session_hours),
        }  # fmt: skip
        reset = update(people).where(people.c.id == row.id).values(failures=0, locked_until=None)
        event = Event(row.id, "login.succeeded", row.id, orjson.dumps({"by": way}))
        await self.accounts.writer.write(Write(event, sessions, held, also=(lambda _: reset,)))
        return token, Caller(row.id, row.full_name or row.name, rights_of(row.roles.split(",")), "session")

    async def log_out(self, token: str, caller: Caller) -> None:
        """End a session now."""
        self._known.pop(token, None)
        ended = update(sessions).where(sessions.c.token_hash == secrets.hash_secret(token)).values(expires=stamp(now()))
        await self.accounts.writer.write(Write(Event(caller.id, "logout", caller.id, b"{}"), also=(lambda _: ended,)))

    async def token(self, key_id: str, secret: str, wanted: str, address: str) -> tuple[str, str, int]:
        """A signed token for the holder of a key: token, its scopes, its life in seconds. Raises Problem."""
        self._count(self.logins, address)
        row = await run_in_threadpool(self.accounts.key, key_id)
        fits = secrets.same(secrets.hash_secret(secret), row.secret_hash if row is not None else "")
        if row is None or not fits or not usable(row):
            raise Problem("wrong-login", "No usable key has this id and secret.", headers=_CHALLENGE)
        held = row.scopes.split(" ")
        asked = wanted.split() or held
        if not set(asked) <= set(held):
            raise Problem("not-allowed", f"The key does not hold the scope {' '.join(sorted(set(asked) - set(held)))}.")
        life = self.settings.token_life
        signing = await self.accounts.make_signing_key()
        return secrets.sign(key_id, " ".join(asked), signing, life), " ".join(asked), life

    async def by_bearer(self, credential: str) -> Caller:
        """Who sent an API key or a token. Raises Problem."""
        found = self._remembered(credential)
        if found is None:
            if credential.startswith(KEY_PREFIX):
                key_id, _, secret = credential.removeprefix(KEY_PREFIX).partition("_")
                found = await run_in_threadpool(self._by_key, key_id, secret, None)
            else:
                found = await run_in_threadpool(self._by_token, credential)
            if found.via == "key":
                self._remember(credential, found)
        return self._counted(found)

    async def by_session(self, token: str) -> Caller:
        """Whose session this is. Raises Problem."""
        found = self._remembered(token)
        if found is None:
            found = await run_in_threadpool(self._by_session, token)
            self._remember(token, found)
        return self._counted(found)

    def _by_session(self, token: str) -> Caller:
        query = (
            select(sessions.c.expires, people.c.id, people.c.name, people.c.full_name, people.c.roles, people.c.active)
            .join(people, people.c.id == sessions.c.person_id)
            .where(sessions.c.token_hash == secrets.hash_secret(token))
        )
        with self.accounts.engine.connect() as connection:
            row = connection.execute(query).one_or_none()
        if row is None:
            raise Problem("wrong-login", "There is no such session.")
        if not row.active or row.expires <= stamp(now()):
            raise Problem("login-expired", "The session is over.")
        return Caller(row.id, row.full_name or row.name, rights_of(row.roles.split(",")), "session")

    def _by_key(self, key_id: str, secret: str | None, scopes: str | None) -> Caller:
        """The holder of a key, by its secret or by a token that was signed for it (with the token's scopes)."""
        row = self.accounts.key(key_id)
        fits = secret is None or (row is not None and secrets.same(secrets.hash_secret(secret), row.secret_hash))
        if row is None or not fits:
            raise Problem("wrong-login", "No key has this id and secret.", headers=_CHALLENGE)
        if not usable(row):
            raise Problem("login-expired", "The key has expired or was withdrawn.", headers=_CHALLENGE)
        granted = frozenset(row.scopes.split(" ")) & frozenset((scopes or row.scopes).split(" "))
        roles = row.roles.split(",")
        if roles != ["machine"]:
            # A person's key never does more than the person, and sees what the person sees.
            own = rights_of(roles)
            granted = frozenset(r for r in own if r in granted or (r == "plan:all" and "plan:read" in granted))
        return Caller(row.person_id, row.name, granted, "key" if scopes is None else "token")

    def _by_token(self, token: str) -> Caller:
        signing = self.accounts.signing_key()
        if signing is None:
            raise Problem("wrong-login", "The token is not from this service.", headers=_CHALLENGE)
        try:
            claims = secrets.read_token(token, signing)
        except secrets.TokenExpiredError:
            raise Problem("login-expired", "The token has expired.", headers=_CHALLENGE) from None
        except ValueError:
            raise Problem("wrong-login", "The token is not from this service.", headers=_CHALLENGE) from None
        return self._by_key(str(claims["sub"]), None, str(claims["scope"]))

    async def _failed(self, person: str | None, failures: int) -> None:
        """Write down a failed login; lock the account at the limit."""
        told = orjson.dumps({"failures": failures + 1})
        if person is None:
            await self.accounts.writer.write(Write(Event("nobody", "login.failed", "unknown", b"{}")))
            return
        locks = failures + 1 >= self.settings.wrong_passwords
        values = {
            "failures": 0 if locks else people.c.failures + 1,
            "locked_until": after(seconds=self.settings.lock_seconds) if locks else None,
        }
        statement = update(people).where(people.c.id == person).values(**values)
        event = Event("nobody", "login.locked" if locks else "login.failed", person, told)
        await self.accounts.writer.write(Write(event, also=(lambda _: statement,)))

    def _locked(self) -> dict[str, str]:
        return {"Retry-After": str(int(self.settings.lock_seconds))}

    def count_arrival(self, address: str) -> None:
        """Count a step of a sign-in elsewhere. Raises Problem when it is one too many."""
        self._count(self.arrivals, address)

    def _count(self, limit: Limit, name: str) -> None:
        wait = limit.wait(name)
        if wait:
            raise Problem("too-many-requests", f"Try again in {wait} s.", headers={"Retry-After": str(wait)})

    def _counted(self, caller: Caller) -> Caller:
        self._count(self.calls, caller.id)
        return caller

    def _remembered(self, credential: str) -> Caller | None:
        held = self._known.get(credential)
        return held[1] if held is not None and held[0] > time.monotonic() else None

    def _remember(self, credential: str, caller: Caller) -> None:
        if len(self._known) >= _MOST_REMEMBERED:
            self._known.clear()
        self._known[credential] = (time.monotonic() + _REMEMBERED_S, caller)


_CHALLENGE = {"WWW-Authenticate": "Bearer"}
