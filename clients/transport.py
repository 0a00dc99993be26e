"""The way to the service: in this process, or over HTTP when a server is named.

The only client file that may import the service. Replies made in this process are stored nowhere: their id is
``draft-`` and the first twelve digits of the plan hash, so the same request has the same id.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Protocol

from clients.errors import AskError

if TYPE_CHECKING:
    from clients.api import Bench

Document = dict[str, Any]


class Desk(Protocol):
    """Where questions go. Every method raises AskError when there is no reply."""

    def ask(self, asked: str | Document) -> Document:
        """The reply to a text, or to a typed request as an earlier reply gave it."""
        ...

    def converse(self, name: str, asked: str | Document) -> Document:
        """The reply to a message of the conversation called ``name``; it says what the message was ``taken_for``."""
        ...

    def conversation(self, name: str) -> Document:
        """What is kept between two messages: ``read_as``, ``request`` and the open ``question``, where there are any."""
        ...

    def rules(self, group: str | None) -> list[Document]:
        """The rules, one line each."""
        ...

    def rule(self, rule_id: str) -> Document:
        """One rule in full."""
        ...

    def substances(self, words: str) -> Document:
        """``substances`` that match, and near ``suggestions`` when none does."""
        ...


def desk(server: str | None) -> Desk:
    """The desk at ``server`` (a URL), or the one in this process."""
    if server:
        from clients.api import Server

        return Server(server)
    return InProcess()


class InProcess:
    """Plans made here, without a server and without storing anything."""

    def __init__(self) -> None:
        from service.bench import default_bench
        from service.pipeline import answer

        self._answer = answer
        self._bench = default_bench()
        self._states: dict[str, Any] = {}

    def ask(self, asked: str | Document) -> Document:
        """The reply to a text or a typed request, with its draft id."""
        from service.plans.document import draft_id

        if isinstance(asked, str):
            document = self._answer(asked, self._bench).document
        else:
            document = self._answer(_typed(asked), self._bench).document
        return {"id": draft_id(document), **document}

    def converse(self, name: str, asked: str | Document) -> Document:
        """The reply to a message; the state is held in this process and ends with it."""
        from service.conversations.turn import take, turn
        from service.plans.document import draft_id

        before = self._states.get(name)
        taken = (
            turn(before, asked, self._bench) if isinstance(asked, str) else take(before, _typed(asked), self._bench)
        )
        self._states[name] = taken.state
        document = {key: value for key, value in taken.reply.document.items() if key != "taken_for"}
        return {"id": draft_id(document), "conversation": name, "taken_for": taken.taken_for, **document}

    def conversation(self, name: str) -> Document:
        """What is kept between two messages."""
        from service.conversations.state import State, standing

        return standing(self._states.get(name) or State())

    def rules(self, group: str | None) -> list[Document]:
        """The rules, one line each."""
        from service.reference import rules

        found = rules.rule_list(group)
        if not found:
            raise AskError(f"There is no group of rules called {group!r}.", (f"Groups: {', '.join(rules.groups())}",))
        return found

    def rule(self, rule_id: str) -> Document:
        """One rule in full."""
        from service.reference import rules

        found = rules.rule(rule_id)
        if found is None:
            raise AskError(f"No rule has the id {rule_id!r}.", ("'prepwright rules' lists them.",))
        return found

    def substances(self, words: str) -> Document:
        """What matches, and near spellings when nothing does."""
        from service.reference import substances

        found, near = substances.search(words)
        return {"substances": found, "suggestions": list(near)}


@contextmanager
def bench(server: str | None) -> Iterator["Bench"]:
    """The bench record at ``server`` (a URL), or in this process on the user's own database, stored and audited alike."""
    if server:
        from clients.api import Server

        yield Server(server)
        return
    from clients.stored import running_here

    with running_here(_service()) as here:
        yield here


def _service() -> Any:
    """The application on the database that the settings name. Raises AskError when a setting cannot be used."""
    from service.app import create_app
    from service.settings import SettingsError, from_environment

    try:
        settings = from_environment()
    except SettingsError as error:
        raise AskError(str(error)) from None
    return create_app(settings.changed(log_level="ERROR", webhook_sender=False))


def _typed(document: Document) -> Any:
    """The typed request in the document. Raises AskError where it is none."""
    from service import requests

    try:
        return requests.read(document)
    except requests.UnreadableError as error:
        raise AskError(
            "The request cannot be used.", tuple(f"{e.pointer}: {e.message}" for e in error.errors)
        ) from None


def administration(database: str | None, call: str, *arguments: Any) -> Any:
    """What ``service.administration`` gives for a call on the database that the settings name. Raises AskError."""
    from sqlalchemy.exc import SQLAlchemyError

    from service import administration as office
    from service.people.accounts import AccountError
    from service.settings import SettingsError, from_environment

    try:
        return getattr(office, call)(from_environment(database=database), *arguments)
    except (AccountError, SettingsError, ValueError) as error:
        raise AskError(f"{str(error)[:1].upper()}{str(error)[1:]}.") from None
    except SQLAlchemyError as error:
        raise AskError(f"The database does not answer: {type(error).__name__}.") from None


def verify_export(export: str, head_file: str | None) -> Any:
    """How many entries an exported log has and its first fault; needs no database. Raises AskError."""
    from pathlib import Path

    from service.administration import verify_export as verify

    try:
        return verify(Path(export), None if head_file is None else Path(head_file))
    except OSError as error:
        raise AskError(f"{export} cannot be read: {error.strerror}.") from None
    except ValueError as error:
        raise AskError(f"{export}: {error}.") from None


def serve(host: str, port: int, database: str | None, only_this_machine: bool) -> int:
    """Run the API until it is told to stop; the exit code. Raises AskError when it cannot start."""
    import socket

    import uvicorn

    from service.app import create_app
    from service.settings import LOOPBACK_NAMES, SettingsError, from_environment

    try:
        settings = from_environment(database=database)
    except SettingsError as error:
        raise AskError(str(error)) from None
    if only_this_machine and not settings.allowed_hosts:
        settings = settings.changed(allowed_hosts=LOOPBACK_NAMES)
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        listening = socket.create_server((host, port), family=family, backlog=1024)
    except OSError as error:
        raise AskError(
            f"Cannot listen at {host} port {port}: {error.strerror}.", ("Choose another with --port.",)
        ) from None
    shown = f"http://{f'[{host}]' if ':' in host else host}:{listening.getsockname()[1]}"

    class Announced(uvicorn.Server):
        async def startup(self, sockets: list[socket.socket] | None = None) -> None:
            await super().startup(sockets)
            if self.started:
                print(f"Prepwright answers at {shown}", flush=True)

    config = uvicorn.Config(
        create_app(settings),
        log_config=None,
        access_log=False,
        server_header=False,
        timeout_graceful_shutdown=10,
        lifespan="on",
    )
    server = Announced(config)
    server.run(sockets=[listening])
    return 0 if server.started else 1
