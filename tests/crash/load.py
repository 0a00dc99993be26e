"""Clients that ask, record and approve without a pause, go on after every fault, and remember what was acknowledged."""

import http.client
import itertools
import json
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from service.administration import add_key, add_person
from service.audit.chain import Head
from service.people.rights import SCOPES
from service.settings import Settings

Document = dict[str, Any]
Kind = Literal["plan", "record", "approval"]
PLANNED = "250 mL of 0.1 M sodium chloride"
HELD = "100 mL of 0.150 M nickel chloride hexahydrate"
RECORD = {"by": "PK", "used": [{"readings": ["1.4610"], "unit": "g"}]}
_PASSWORD = "four quiet brown owls"
_AGAIN_S = 0.05
_PATIENCE_S = 90


@dataclass(frozen=True, slots=True)
class Acknowledged:
    """Something the service said it has stored: of a plan or record its ``id``, of an approval that of the plan."""

    kind: Kind
    id: str
    document: Document
    head: Head | None


@dataclass(slots=True)
class Kept:
    """What all clients were told. ``unheard``: requests that ended without an answer; ``refused``: answers 503."""

    acknowledged: list[Acknowledged] = field(default_factory=list)
    unheard: int = 0
    refused: int = 0
    abandoned: int = 0
    faults: list[str] = field(default_factory=list)

    def of(self, kind: Kind) -> list[Acknowledged]:
        """Those of one kind."""
        return [one for one in self.acknowledged if one.kind == kind]

    def wait_for(self, more: int) -> None:
        """Wait until that much more was acknowledged."""
        self.wait_until(lambda before: len(self.acknowledged) >= len(before.acknowledged) + more)

    def wait_until(self, seen: Callable[["Kept"], bool]) -> None:
        """Wait until ``seen``, which is given the counts as they are now, is true."""
        before = replace(self, acknowledged=list(self.acknowledged))
        until = time.monotonic() + _PATIENCE_S
        while not seen(before):
            assert time.monotonic() < until, f"nothing happened for {_PATIENCE_S} s; {self.faults[:3]}"
            time.sleep(0.005)

    def heads(self) -> list[Head]:
        """The audit entries that were given out as receipts."""
        return [one.head for one in self.acknowledged if one.head is not None]


@dataclass(frozen=True, slots=True)
class Keys:
    """Credentials of two people: who asks and records, and who approves."""

    maker: str
    officer: str


def people(settings: Settings) -> Keys:
    """Make the two accounts on a database that no server has open yet."""
    found = []
    for name, role in (("maker", "maker"), ("officer", "safety-officer")):
        add_person(settings, name, [role], _PASSWORD, f"The {name} of Alder Vale")
        found.append(add_key(settings, name, SCOPES, 9).bearer)
    return Keys(*found)


class Line:
    """One connection to a server, made anew after a fault."""

    def __init__(self, port: int) -> None:
        self._port = port
        self._open: http.client.HTTPConnection | None = None

    def call(
        self, method: str, path: str, key: str, body: Document | None = None, once: str | None = None
    ) -> tuple[int, Document, http.client.HTTPMessage]:
        """Status, document and headers. Raises OSError or HTTPException where no whole answer came."""
        headers = {"Authorization": f"Bearer {key}", "Content-Type": "application/json"}
        if once is not None:
            headers["Idempotency-Key"] = once
        try:
            if self._open is None:
                self._open = http.client.HTTPConnection("127.0.0.1", self._port, timeout=30)
            self._open.request(method, path, None if body is None else json.dumps(body), headers)
            response = self._open.getresponse()
            return response.status, json.loads(response.read()), response.headers
        except BaseException:
            self.close()
            raise

    def close(self) -> None:
        """Give the connection up."""
        if self._open is not None:
            self._open.close()
            self._open = None


class Load:
    """Client threads on one port. Every plan has an Idempotency-Key and is sent again until there is an answer."""

    def __init__(self, port: int, keys: Keys, kept: Kept, clients: int = 4, name: str = "a") -> None:
        self._port, self._keys, self._kept = port, keys, kept
        self._over = threading.Event()
        self._turns = itertools.count()
        self._name = name
        self._threads = [threading.Thread(target=self._work, daemon=True) for _ in range(clients)]

    def __enter__(self) -> "Load":
        for thread in self._threads:
            thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._over.set()
        for thread in self._threads:
            thread.join(60)

    def _work(self) -> None:
        line = Line(self._port)
        try:
            while not self._over.is_set():
                self._turn(line, next(self._turns))
        except Exception as error:  # a thread that ends in silence would be taken for a quiet one
            self._kept.faults.append(f"{type(error).__name__}: {error}")
        finally:
            line.close()

    def _turn(self, line: Line, n: int) -> None:
        held = n % 3 == 0
        room = f"Prep room {self._name}{n}"
        asked = {"text": HELD, "room": room} if held else {"text": PLANNED}
        plan = self._send(line, "plan", "/v1/plans", self._keys.maker, asked, f"{self._name}-{n}")
        if plan is None:
            return
        if held:
            decided = {"decision": "approve", "reason": "Practical of year 12.", "conditions": {"room": room}}
            self._send(line, "approval", f"/v1/plans/{plan}/approval", self._keys.officer, decided)
        elif n % 3 == 1:
            self._send(line, "record", f"/v1/plans/{plan}/preparations", self._keys.maker, RECORD)

    def _send(
        self, line: Line, kind: Kind, path: str, key: str, body: Document, once: str | None = None
    ) -> str | None:
        """The id of what was acknowledged. What has no key is sent once: it may be stored though no answer came."""
        while not self._over.is_set():
            try:
                status, document, headers = line.call("POST", path, key, body, once)
            except (OSError, http.client.HTTPException):
                self._kept.unheard += 1
                status, document, headers = 0, {}, http.client.HTTPMessage()
            if status in (200, 201):
                plan = path.split("/")[3] if kind == "approval" else document["id"]
                self._kept.acknowledged.append(Acknowledged(kind, plan, document, _head(headers)))
                return str(plan)
            if status == 503:
                self._kept.refused += 1
                if not headers.get("Retry-After", "").isdigit():
                    self._kept.faults.append(f"503 without Retry-After: {document}")
            elif status == 409 and document["type"] == "/problems/in-flight":
                self._kept.abandoned += 1  # claimed by the process that was killed: free again after a minute
                return None
            elif status:
                self._kept.faults.append(f"{path}: {status} {document}")
                return None
            if once is None:
                return None
            time.sleep(_AGAIN_S)
        return None


def _head(headers: http.client.HTTPMessage) -> Head | None:
    seq, _, digest = headers.get("Prepwright-Audit-Head", "").partition(":")
    return Head(int(seq), digest) if seq else None
