"""What is done on the machine of the service, without the service: accounts, keys, and checking the log.

Each call opens the database, does one thing and closes it; the service may run meanwhile.
"""

import asyncio
from collections.abc import Awaitable, Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict
from pathlib import Path
from typing import Any, TypeVar

from sqlalchemy import Engine

from service.audit import log
from service.audit.chain import EMPTY, Broken, Head, check
from service.audit.head_file import HeadFile, parse
from service.audit.lines import read_lines
from service.days.archive import altered_day
from service.people.accounts import AccountError, Accounts, NewKey
from service.people.held_of import everything_of
from service.plans.archive import altered_plan
from service.settings import Settings
from service.store.backup import BackupError
from service.store.backup import backup as write_backup
from service.store.backup import restore as read_backup
from service.store.engine import open_engine
from service.store.migrate import migrate
from service.store.writer import Writer

Made = TypeVar("Made")


def people(settings: Settings) -> list[dict[str, Any]]:
    """Every account: ``id``, ``name``, ``full_name``, ``roles``, ``active``."""
    with _accounts(settings) as accounts:
        return [asdict(person) for person in accounts.list()]


def has_accounts(settings: Settings) -> bool:
    """Whether anybody has an account, here or elsewhere: without one there is no login."""
    if settings.signs_in_elsewhere:
        return True
    with _accounts(settings) as accounts:
        return accounts.any()


def add_person(settings: Settings, name: str, roles: Sequence[str], password: str | None, full_name: str) -> str:
    """Make an account; its id. Raises AccountError."""
    return _change(settings, lambda accounts: accounts.add(name, roles, password, full_name))


def close_person(settings: Settings, name: str) -> None:
    """Take an account out of use. Raises AccountError where there is none."""
    _change(settings, lambda accounts: accounts.close(_id(accounts, name)))


def erase_person(settings: Settings, name: str) -> str:
    """Take out of the store whose account it was; the id, which the log keeps. Raises AccountError where there is none."""
    found = ""

    async def erase(accounts: Accounts) -> None:
        nonlocal found
        found = _id(accounts, name)
        await accounts.erase(found)

    _change(settings, erase)
    return found


def export_person(settings: Settings, name: str) -> dict[str, Any]:
    """Everything that is held of one account, without its secrets. Raises AccountError where there is none."""
    with _accounts(settings) as accounts:
        return everything_of(accounts.engine, _id(accounts, name))


def add_key(settings: Settings, name: str, scopes: Sequence[str], days: int) -> NewKey:
    """Make an API key of an account. Raises AccountError."""
    return _change(settings, lambda accounts: accounts.add_key(_id(accounts, name), scopes, days))


def withdraw_key(settings: Settings, key: str) -> None:
    """Make a key useless from now on. Raises AccountError where there is none."""
    if not _change(settings, lambda accounts: accounts.withdraw_key(key)):
        raise AccountError(f"there is no key {key}")


def verify_store(settings: Settings) -> tuple[int, Broken | None]:
    """How many entries the log has, and its first fault: against its own head, the head file, the stored plans and prep days."""
    engine = open_engine(settings.database, settings.store_timeout)
    try:
        known = _head(settings.head_file)
        broken = log.verify(engine, known)
        count = _count(engine)
        if broken is None:
            plan = altered_plan(engine)
            if plan is not None:
                broken = Broken(count, "plan", f"plan {plan} is not the one that was logged")
        if broken is None:
            day = altered_day(engine)
            if day is not None:
                broken = Broken(count, "day", f"prep day {day} is not the one that was logged")
        return count, broken
    finally:
        engine.dispose()


def backup(settings: Settings, target: Path) -> dict[str, int]:
    """Write the whole store to a new file while the service runs; the rows of each table. Raises BackupError."""
    engine = open_engine(settings.database, settings.store_timeout)
    try:
        return write_backup(engine, target)
    finally:
        engine.dispose()


def restore(settings: Settings, source: Path) -> int:
    """Fill an empty store from a backup and note its newest entry in the head file; how many entries the log has."""
    engine = open_engine(settings.database, settings.store_timeout)
    try:
        if settings.head_file.exists() and _head(settings.head_file) != EMPTY:
            raise BackupError(f"{settings.head_file} belongs to another log: set it aside, or name another with PREPWRIGHT_HEAD_FILE")
        head = read_backup(engine, source)
        with HeadFile(settings.head_file) as head_file:
            head_file.advance(head)
        return head.seq
    finally:
        engine.dispose()


def verify_export(export: Path, head_file: Path | None) -> tuple[int, Broken | None]:
    """The same of an exported log (JSON lines), without a database. Raises ValueError for a line that is no entry."""
    known = EMPTY if head_file is None else _head(head_file)
    count = 0

    def counted() -> Iterator[Any]:
        nonlocal count
        with export.open("rb") as content:
            for entry in read_lines(content):
                count += 1
                yield entry

    broken = check(counted(), known)
    return count, broken


def _head(path: Path) -> Head:
    """What a head file says; the empty head where there is none."""
    return parse(path.read_bytes()) if path.exists() else EMPTY


def _count(engine: Engine) -> int:
    with engine.connect() as connection:
        return log.head(connection).seq


def _id(accounts: Accounts, name: str) -> str:
    row = accounts.named(name)
    if row is None:
        raise AccountError(f"there is no account called {name}")
    return str(row.id)


def _change(settings: Settings, change: Callable[[Accounts], Awaitable[Made]]) -> Made:
    async def run(accounts: Accounts) -> Made:
        return await change(accounts)

    with _accounts(settings) as accounts:
        return asyncio.run(run(accounts))


@contextmanager
def _accounts(settings: Settings) -> Iterator[Accounts]:
    engine = open_engine(settings.database, settings.store_timeout)
    migrate(engine)
    with HeadFile(settings.head_file) as head_file:
        writer = Writer(engine, head_file, settings.group_limit, settings.queue_limit)
        try:
            yield Accounts(engine, writer)
        finally:
            writer.close()
            engine.dispose()
