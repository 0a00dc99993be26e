"""What an endpoint works with: the bench, the archive and the settings, opened at start-up."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import cast

from sqlalchemy import Engine
from starlette.requests import Request

from grammar.request import Request as TypedRequest
from service.approvals.archive import Holds
from service.audit import log
from service.audit.chain import Event, Head
from service.audit.head_file import HeadFile
from service.bench import Bench
from service.conversations.archive import Conversations
from service.days.archive import Days
from service.logs import logger
from service.outbox.archive import Outbox
from service.outbox.messages import announced
from service.people.accounts import Accounts
from service.people.door import Door
from service.pipeline import Reply
from service.plans.archive import Archive
from service.plans.withdrawal import Withdrawals
from service.policies.archive import Policies
from service.records.archive import Records
from service.repeats import Repeats
from service.settings import Settings
from service.shelf.archive import Shelf
from service.sign_in.arrivals import Arrivals
from service.sign_in.handshakes import Handshakes
from service.sign_in.learning import Learning
from service.sign_in.provider import Provider
from service.standards.archive import Standards
from service.store.engine import open_engine
from service.store.migrate import migrate
from service.store.writer import Write, Writer

_WARM_UP = "250 mL of 0.1 M sodium chloride"

Answer = Callable[[str | TypedRequest, Bench], Reply]


@dataclass(frozen=True, slots=True)
class Services:
    """Everything behind the endpoints.

    ``answer`` is the pipeline, ``versions`` those of its rules and data, ``head_agrees`` what the start-up check of
    the audit log against its head file found.
    """

    settings: Settings
    policies: Policies
    answer: Answer
    engine: Engine
    head_file: HeadFile
    writer: Writer
    archive: Archive
    conversations: Conversations
    holds: Holds
    door: Door
    repeats: Repeats
    records: Records
    standards: Standards
    shelf: Shelf
    outbox: Outbox
    withdrawals: Withdrawals
    days: Days
    handshakes: Handshakes
    arrivals: Arrivals
    provider: Provider
    learning: Learning
    head_agrees: bool
    versions: dict[str, str]

    @property
    def bench(self) -> Bench:
        """The bench of the policy in force."""
        return self.policies.bench

    def close(self) -> None:
        """Commit what is waiting and close the database."""
        self.writer.close()
        self.head_file.close()
        self.engine.dispose()


def services(request: Request) -> Services:
    """The services of the application that serves ``request``."""
    return cast(Services, request.app.state.services)


def open_services(settings: Settings, bench: Bench, answer: Answer) -> Services:
    """Open the database, bring it up to date, start the writer and compare the audit log with its head file.

    One request is answered first, so that the first user does not wait while tables and the grammar are loaded.
    """
    versions = answer(_WARM_UP, bench).document["versions"]
    engine = open_engine(settings.database, settings.store_timeout)
    migrate(engine)
    head_file = HeadFile(settings.head_file)
    agrees = _head_agrees(engine, head_file)
    writer = Writer(engine, head_file, settings.group_limit, settings.queue_limit, announced)
    archive = Archive(engine, writer)
    policies = Policies(engine, writer, bench)
    holds = Holds(engine, writer, lambda: policies.bench.policy)
    talks = Conversations(engine, writer, archive, holds)
    repeats = Repeats(engine)
    repeats.purge()
    door = Door(Accounts(engine, writer), settings)
    withdrawals = Withdrawals(engine, writer)
    records = Records(engine, writer, archive, policies.bench_of, holds.approved)
    standards = Standards(records)
    return Services(
        settings,
        policies,
        answer,
        engine,
        head_file,
        writer,
        archive,
        talks,
        holds,
        door,
        repeats,
        records,
        standards,
        Shelf(records),
        Outbox(engine, writer),
        withdrawals,
        Days(engine, holds, withdrawals),
        Handshakes(engine),
        Arrivals(door.accounts),
        Provider(settings),
        Learning(settings),
        agrees,
        versions,
    )


async def note_disagreement(desk: Services) -> None:
    """Record in the log itself that it did not match its head file when the service started; keep the old file."""
    said = desk.head_file.path.read_text("ascii", "replace").strip()[:100]
    kept = desk.head_file.set_aside("disagrees")
    logger().error("audit log does not match its head file", head_file=str(kept), said=said)
    body = b'{"head_file_said":"%b"}' % "".join(c for c in said if c.isalnum() or c == " ").encode("ascii")
    await desk.writer.write(Write(Event("service", "audit.head_disagrees", "audit", body)))


def _head_agrees(engine: Engine, head_file: HeadFile) -> bool:
    try:
        said: Head = head_file.read()
    except ValueError:
        return False
    with engine.connect() as connection:
        return log.holds(connection, said)
