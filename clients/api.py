"""The service over HTTP, with the standard library only so that a command starts quickly.

The only file that knows an address or a path of the API.
"""

import http.client
import json
import os
from abc import ABC, abstractmethod
from typing import Any
from urllib.parse import quote, urlencode, urlsplit

from clients.errors import AskError

Document = dict[str, Any]

TIMEOUT_S = 30.0
_GONE = (http.client.RemoteDisconnected, BrokenPipeError, ConnectionResetError)


class Bench(ABC):
    """The bench record of a service, however it is reached: ``_call`` sends one request."""

    _url = "the service"

    def record(self, plan: str, body: Document) -> Document:
        """Store what was really made from a plan; the preparation."""
        return self._object("POST", f"/v1/plans/{quote(plan, safe='')}/preparations", body, 201)

    def preparation(self, preparation: str) -> Document:
        """A preparation with its chain of entries."""
        return self._object("GET", f"/v1/preparations/{quote(preparation, safe='')}")

    def correct(self, preparation: str, body: Document) -> Document:
        """Add a correcting entry; the preparation as it then stands."""
        return self._object("POST", f"/v1/preparations/{quote(preparation, safe='')}/corrections", body, 201)

    def standardise(self, preparation: str, body: Document) -> Document:
        """Store a standardisation; accepted or not."""
        return self._object("POST", f"/v1/preparations/{quote(preparation, safe='')}/standardisations", body, 201)

    def planned(self, asked: str) -> Document:
        """The stored reply to a text."""
        return self._object("POST", "/v1/plans", {"text": asked})

    def sheet(self, identity: str) -> bytes:
        """The bench sheet of a plan, or the record sheet of a preparation, as PDF."""
        status, content = self._call("GET", f"/v1/plans/{quote(identity, safe='')}/sheet", None)
        if status == 404:
            status, content = self._call("GET", f"/v1/preparations/{quote(identity, safe='')}/sheet", None)
        return self._pages(status, content)

    def label(self, preparation: str, size: str, copies: int, waste: bool) -> bytes:
        """The label, or the waste label, of a preparation as PDF."""
        kind = "waste-label" if waste else "label"
        path = f"/v1/preparations/{quote(preparation, safe='')}/{kind}?size={quote(size)}&copies={copies}"
        return self._pages(*self._call("GET", path, None))

    def nominal_label(self, plan: str, size: str, copies: int) -> bytes:
        """A label that says nominal, of a plan, as PDF."""
        path = f"/v1/plans/{quote(plan, safe='')}/label?nominal=true&size={quote(size)}&copies={copies}"
        return self._pages(*self._call("GET", path, None))

    def make_day(self, body: Document) -> Document:
        """Plan and store a prep day; its document."""
        return self._object("POST", "/v1/days", body, 201)

    def day(self, day: str) -> Document:
        """A prep day as it stands."""
        return self._object("GET", f"/v1/days/{quote(day, safe='')}")

    def days(self) -> Document:
        """The newest prep days, one line each."""
        return self._object("GET", "/v1/days?limit=200")

    def day_sheet(self, day: str) -> bytes:
        """The sheet of a prep day as PDF."""
        return self._pages(*self._call("GET", f"/v1/days/{quote(day, safe='')}/sheet", None))

    def policy(self, number: int | None) -> Document:
        """The local policy in force, or another version."""
        return self._object("GET", f"/v1/policies/{'current' if number is None else number}")

    def policies(self) -> Document:
        """The newest versions and proposals, and which is in force."""
        return self._object("GET", "/v1/policies?limit=200")

    def propose_policy(self, policy: Document, reason: str, dry_run: bool) -> Document:
        """What a policy would change; stored as a proposal unless it is a dry run."""
        body = {"policy": policy, "reason": reason, "dry_run": dry_run}
        return self._object("POST", "/v1/policies", body, 200 if dry_run else 201)

    def decide_policy(self, number: int, decision: str, reason: str) -> Document:
        """Confirm or decline a proposal; where it stands then."""
        return self._object("POST", f"/v1/policies/{number}/decision", {"decision": decision, "reason": reason})

    def shelf(self, wanted: Document) -> Document:
        """One page of the bottles looked for, newest first."""
        return self._object("GET", f"/v1/shelf?{urlencode(wanted)}")

    def bottle(self, bottle: str) -> Document:
        """A bottle with all that happened to it."""
        return self._object("GET", f"/v1/shelf/{quote(bottle, safe='')}")

    def family(self, subject: str) -> Document:
        """Everything made or filled from a bottle or preparation."""
        return self._object("GET", f"/v1/shelf/{quote(subject, safe='')}/family")

    def shelf_for(self, plan: str) -> Document:
        """What the shelf holds of a stored plan."""
        return self._object("GET", f"/v1/plans/{quote(plan, safe='')}/shelf")

    def put_up(self, body: Document) -> Document:
        """Put a bottle on the shelf; the bottle."""
        return self._object("POST", "/v1/shelf", body, 201)

    def happen(self, subject: str, body: Document) -> Document:
        """Add an event to a bottle or preparation; what it reached."""
        return self._object("POST", f"/v1/shelf/{quote(subject, safe='')}/events", body, 201)

    def expiring(self, wanted: Document) -> Document:
        """One page of bottles and preparations by their last day."""
        return self._object("GET", f"/v1/shelf/expiring?{urlencode(wanted)}")

    def import_shelf(self, table: bytes, confirm: bool, by: str | None) -> Document:
        """What a CSV table of bottles gives; put on the shelf where it is confirmed. The key lets it be sent again safely."""
        query = {"confirm": str(confirm).lower(), **({"by": by} if by else {})}
        return self._object(
            "POST", f"/v1/shelf/import?{urlencode(query)}", table, 200, {"Idempotency-Key": os.urandom(16).hex()}
        )

    def export_shelf(self, wanted: Document) -> bytes:
        """The bottles looked for as a CSV table."""
        return self._pages(*self._call("GET", f"/v1/shelf/export?{urlencode(wanted)}", None))

    @abstractmethod
    def _call(self, method: str, path: str, body: Any, headers: dict[str, str] | None = None) -> tuple[int, bytes]:
        """Status and content of one exchange; bytes are sent as CSV, anything else as JSON."""

    def _pages(self, status: int, content: bytes) -> bytes:
        if status != 200:
            raise _as_error(self._document(status, content))
        return content

    def _object(self, method: str, path: str, body: Any = None, status: int = 200,
                headers: dict[str, str] | None = None) -> Document:  # fmt: skip
        found, content = self._call(method, path, body, headers)
        document = self._document(found, content)
        if found != status:
            raise _as_error(document)
        return document

    def _document(self, status: int, content: bytes) -> Document:
        try:
            document = json.loads(content)
        except ValueError:
            document = None
        if not isinstance(document, dict):
            raise AskError(f"{self._url} answered with status {status} and something that is not a reply.")
        return document


class Server(Bench):
    """A running service; keeps its connection open between calls."""

    def __init__(self, url: str) -> None:
        parts = urlsplit(url if "://" in url else f"http://{url}")
        if parts.scheme not in ("http", "https") or not parts.hostname:
            raise AskError(f"{url!r} is no address of a server.", ("Write it as http://127.0.0.1:8000.",))
        try:
            port = parts.port
        except ValueError:
            raise AskError(f"{url!r} has no proper port.") from None
        kind = http.client.HTTPSConnection if parts.scheme == "https" else http.client.HTTPConnection
        self._connection = kind(parts.hostname, port, timeout=TIMEOUT_S)
        self._base = parts.path.rstrip("/")
        self._url = url
        self._conversations: dict[str, str] = {}

    def ask(self, asked: str | dict[str, Any]) -> dict[str, Any]:
        """The stored reply to a text or a typed request."""
        return self._object("POST", "/v1/plans", {"text": asked} if isinstance(asked, str) else {"request": asked})

    def converse(self, name: str, asked: str | dict[str, Any]) -> dict[str, Any]:
        """The stored reply to a message of the conversation that is called ``name`` here; the first message opens it."""
        if name not in self._conversations:
            self._conversations[name] = self._object("POST", "/v1/conversations", status=201)["conversation"]
        path = f"/v1/conversations/{self._conversations[name]}/messages"
        return self._object("POST", path, {"text": asked} if isinstance(asked, str) else {"request": asked})

    def conversation(self, name: str) -> dict[str, Any]:
        """What is kept of the conversation: ``read_as``, ``request`` and the open ``question``."""
        held = self._conversations.get(name)
        return self._object("GET", f"/v1/conversations/{held}") if held else {}

    def rules(self, group: str | None) -> list[dict[str, Any]]:
        """The rules, one line each."""
        found: list[dict[str, Any]] = self._object("GET", f"/v1/rules?group={quote(group)}" if group else "/v1/rules")[
            "rules"
        ]
        return found

    def rule(self, rule_id: str) -> dict[str, Any]:
        """One rule in full."""
        return self._object("GET", f"/v1/rules/{quote(rule_id, safe='')}")

    def substances(self, words: str) -> dict[str, Any]:
        """What matches, and near spellings when nothing does."""
        return self._object("GET", f"/v1/substances?q={quote(words)}")

    def _call(self, method: str, path: str, body: Any, headers: dict[str, str] | None = None) -> tuple[int, bytes]:
        content, headers = sent(body, headers)
        reused = self._connection.sock is not None
        try:
            try:
                return self._exchange(method, path, content, headers)
            except _GONE:
                if not reused:
                    raise
                return self._exchange(method, path, content, headers)  # the server closed the idle connection
        except (OSError, http.client.HTTPException) as error:
            self._connection.close()
            reason = getattr(error, "strerror", None) or type(error).__name__
            raise AskError(
                f"{self._url} does not answer: {reason}.", ("'prepwright serve' starts a server.",)
            ) from None

    def _exchange(self, method: str, path: str, content: bytes | None, headers: dict[str, str]) -> tuple[int, bytes]:
        try:
            self._connection.request(method, self._base + path, content, headers)
            response = self._connection.getresponse()
            return response.status, response.read()
        except _GONE:
            self._connection.close()
            raise


def sent(body: Any, headers: dict[str, str] | None) -> tuple[bytes | None, dict[str, str]]:
    """A body as it is sent, and the headers that go with it: bytes as CSV, anything else as JSON."""
    headers = credential() | (headers or {})
    if body is None:
        return None, headers
    if isinstance(body, bytes):
        return body, headers | {"Content-Type": "text/csv"}
    return json.dumps(body).encode(), headers | {"Content-Type": "application/json"}


def credential() -> dict[str, str]:
    """The header that says who asks: an API key or token from PREPWRIGHT_KEY."""
    key = os.environ.get("PREPWRIGHT_KEY", "")
    return {"Authorization": f"Bearer {key}"} if key else {}


def _as_error(problem: dict[str, Any]) -> AskError:
    lines = [f"{e.get('pointer', '')}: {e.get('message', '')}" for e in problem.get("errors", ())]
    return AskError(
        str(problem.get("detail") or problem.get("title") or "The server refused the request."), tuple(lines)
    )
