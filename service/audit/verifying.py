"""Checking the stored log while the service runs: in parts, each in a thread and a transaction of its own."""

from sqlalchemy import Engine
from starlette.concurrency import run_in_threadpool

from service.audit import log
from service.audit.chain import Broken, Checking, Head
from service.audit.head_file import HeadFile
from service.days import archive as days
from service.plans import archive as plans

PART = 500  # entries between which other work gets its turn


async def verify_in_parts(engine: Engine, head_file: HeadFile, part: int = PART) -> tuple[Head, Broken | None]:
    """How far the log is whole, and its first fault: against its own head, the head file, the stored plans and prep days."""
    try:
        known = head_file.read()  # before the head of the log, which it never runs ahead of
    except ValueError:
        return Head(0, "0" * 64), Broken(0, "head-file", "the head file holds something that is no head of a log")
    checking = Checking(known, await run_in_threadpool(_head, engine))
    while True:
        read, broken = await run_in_threadpool(_part, engine, checking, part)
        if broken is not None or read < part:
            return checking.last, broken or checking.end()


def _head(engine: Engine) -> Head:
    with engine.connect() as connection:
        return log.head(connection)


def _part(engine: Engine, checking: Checking, most: int) -> tuple[int, Broken | None]:
    with engine.connect() as connection:
        entries = log.after(connection, checking.last.seq, most)
        plan, day = plans.altered_among(connection, entries), days.altered_among(connection, entries)
    broken = checking.part(entries)
    for code, name, altered in (("plan", "plan", plan), ("day", "prep day", day)):
        if altered is not None and (broken is None or altered.seq < broken.seq):
            broken = Broken(altered.seq, code, f"{name} {altered.subject} is not the one that was logged")
    return len(entries), broken
