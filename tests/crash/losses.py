"""What was acknowledged and is not there; what is there twice; whether the log is whole."""

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, func, select

from service.audit import log
from service.audit.head_file import parse
from service.plans.archive import altered_plan
from service.store.tables import plans, preparations
from service.store.tables_approvals import decisions, repeats
from tests.crash.load import Acknowledged, Kept, Keys, Line

_PLACES: dict[str, Any] = {"plan": plans.c.id, "record": preparations.c.id, "approval": decisions.c.plan_id}


def lost_to_readers(port: int, keys: Keys, acknowledged: Iterable[Acknowledged]) -> list[str]:
    """What the service no longer gives as it gave it, asked over HTTP."""
    line = Line(port)
    lost = []
    for one in acknowledged:
        path = f"/v1/preparations/{one.id}" if one.kind == "record" else f"/v1/plans/{one.id}"
        status, found, _ = line.call("GET", path, keys.officer)
        standing = found.pop("approval", None) if one.kind != "record" else None  # what came to the reply later
        if status != 200 or (standing if one.kind == "approval" else found) != one.document:
            lost.append(f"{one.kind} {one.id}: {status}")
    line.close()
    return lost


def lost_rows(engine: Engine, kept: Kept) -> list[str]:
    """What has no row in the database."""
    lost = []
    with engine.connect() as connection:
        for kind, column in _PLACES.items():
            stored = set(connection.execute(select(column)).scalars())
            lost += [f"{kind} {one.id}" for one in kept.of(kind) if one.id not in stored]  # type: ignore[arg-type]
    return lost


def doubles(engine: Engine) -> int:
    """How many more plans there are than keys that were answered: each plan was asked for under a key of its own."""
    answered = select(func.count()).select_from(repeats).where(repeats.c.status.is_not(None))
    with engine.connect() as connection:
        stored = connection.execute(select(func.count()).select_from(plans)).scalar_one()
        return int(stored - connection.execute(answered).scalar_one())


def entries(engine: Engine) -> int:
    """How long the log is."""
    with engine.connect() as connection:
        return log.head(connection).seq


def fault_of_the_log(engine: Engine, kept: Kept, *head_files: Path) -> str | None:
    """The first fault of the chain, against every receipt that was given out and the head files; None when it is whole."""
    known = [parse(path.read_bytes()) for path in head_files if path.exists()]
    broken = log.verify(engine, *kept.heads(), *known)
    return None if broken is None else f"{broken.seq} {broken.code}: {broken.message}"


def altered(engine: Engine) -> str | None:
    """The first stored plan that is not the one that was logged."""
    return altered_plan(engine)
