"""Every operation with requests made from the contract, good and bad, by somebody with every right and by nobody.

The answers are held against the contract with every check that the library has. ``PREPWRIGHT_LONG_EXAMPLES=N`` tries N
requests of chance for each operation and person instead of a few.
"""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from uuid import uuid4

import httpx
import pytest
import requests
import schemathesis
from argon2 import PasswordHasher
from schemathesis.config import SchemathesisConfig

from service.app import create_app
from service.people import secrets
from service.people.rights import OPEN, ROLES, needed
from service.settings import Settings
from tests.conftest import Running
from tests.contract.shapes import committed

LONG = int(os.environ.get("PREPWRIGHT_LONG_EXAMPLES", "0"))
EVERY_ROLE = [role for role in ROLES if role != "machine"]
PASSWORD = "four quiet brown owls"
# 422 to what the schema allows is right where it names the field: a name must be in the tables, a field may need another, a
# record must fit its plan. A table is text to the schema: one that cannot be cut into rows is 400, and nothing that is sent as
# one is of another type.
ACCEPTED = ["2xx", "3xx", 401, 403, 404, 409, 422, 429]
CONFIG: dict[str, Any] = {
    "checks": {"positive_data_acceptance": {"expected-statuses": ACCEPTED}},
    "operations": [
        {
            "include-path": path,
            "checks": {
                "positive_data_acceptance": {"expected-statuses": [*ACCEPTED, 400]},
                "negative_data_rejection": {"expected-statuses": ["4xx", 200]},
            },
        }
        for path, operations in committed()["paths"].items()
        if "text/csv" in operations.get("post", {}).get("requestBody", {}).get("content", {})
    ],
    "generation": {
        "max-examples": LONG or 3, "deterministic": not LONG, "no-shrink": not LONG, "database": "none",
    },
    "phases": {"coverage": {"enabled": bool(LONG)}},
    "base-url": "http://127.0.0.1",
}  # fmt: skip
SCHEMA = schemathesis.openapi.from_dict(committed(), config=SchemathesisConfig.from_dict(CONFIG))


@schemathesis.serializer("application/jsonl", "text/csv")
def _plain_text(ctx: Any, value: Any) -> bytes:  # noqa: ARG001 - the library hands both over
    return value if isinstance(value, bytes) else str(value).encode("utf-8", "surrogatepass")


class Visitor:
    """A running service, something under each kind of id, and a way to send what the library made."""

    def __init__(self, running: Running) -> None:
        self.running = running
        accounts = running.services.door.accounts
        running.run(accounts.add("everything", EVERY_ROLE, PASSWORD, "Somebody at Alder Vale"))
        self.headers: dict[str, str] = {}
        self.known = self._something()

    def _something(self) -> dict[str, str]:
        """An id for each name of a path parameter."""
        plan = self._post("/v1/plans", {"text": "250 mL of 0.1 M sodium chloride"})["id"]
        record = {"by": "PK", "used": [{"readings": ["1.4610"], "unit": "g"}]}
        hook = {"url": "https://alder-vale.example/events", "types": ["plan.held"]}
        return {
            "plan_id": plan,
            "preparation_id": self._post(f"/v1/plans/{plan}/preparations", record)["id"],
            "conversation_id": self._post("/v1/conversations", {})["conversation"],
            "webhook_id": self._post("/v1/webhooks", hook)["id"],
        }

    def _post(self, path: str, body: dict[str, Any]) -> dict[str, Any]:
        response = self.running.call("POST", path, json=body, headers=self.enter())
        assert response.is_success, response.text
        found: dict[str, Any] = response.json()
        return found

    def enter(self) -> dict[str, str]:
        """The headers of a session that holds."""
        if not self.headers or self.running.call("GET", "/v1/session", headers=self.headers).status_code != 200:
            body = {"name": "everything", "password": PASSWORD}
            entered = self.running.call("POST", "/v1/session", json=body)
            self.running.client.cookies.clear()
            assert entered.status_code == 200, entered.text
            self.headers = {
                "Cookie": f"prepwright_session={entered.cookies['prepwright_session']}",
                "X-CSRF-Token": entered.json()["csrf_token"],
            }
        return self.headers

    def send(self, case: schemathesis.Case, headers: dict[str, str]) -> httpx.Response:
        """The answer to what the library made, sent byte for byte as it would send it."""
        key = (case.headers or {}).get("Idempotency-Key", "")
        if isinstance(key, str) and 0 < len(key) <= 200 and key.isascii() and key.isprintable():
            case.headers["Idempotency-Key"] = uuid4().hex  # the same key again would only give the first answer again
        made = case.as_transport_kwargs(base_url="http://127.0.0.1", headers=headers)
        sent = requests.Request(
            **{key: made.get(key) for key in ("method", "url", "headers", "params", "data", "json", "files", "cookies")}
        ).prepare()
        response = self.running.call(
            sent.method or "GET", sent.url or "", headers=list(sent.headers.items()), content=sent.body or b""
        )
        self.running.client.cookies.clear()
        return response


@pytest.fixture(scope="module")
def visitor(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    folder: Path = tmp_path_factory.mktemp("contract")
    many = 10**9
    settings = Settings(f"sqlite:///{folder / 'plans.sqlite3'}", folder / "head", log_level="CRITICAL").changed(
        calls_a_minute=many, logins_a_minute=many, sign_ins_a_minute=many, wrong_passwords=many, webhook_sender=False
    )
    with pytest.MonkeyPatch.context() as patch:
        quick = PasswordHasher(time_cost=1, memory_cost=8 * 1024, parallelism=1)
        patch.setattr(secrets, "_hasher", lambda: quick)
        running = Running(create_app(settings))
        yield Visitor(running)
        running.stop()


@SCHEMA.parametrize()
def test_somebody_with_every_right_gets_what_the_contract_says(case: schemathesis.Case, visitor: Visitor) -> None:
    if case.meta is None or case.meta.generation.mode.is_positive:
        case.path_parameters.update({k: v for k, v in visitor.known.items() if k in case.path_parameters})
    response = visitor.send(case, visitor.enter())
    if response.status_code == 422 and response.json()["type"] == "/problems/invalid-request":
        assert all(error["pointer"] and error["message"] for error in response.json()["errors"]), response.text
    case.validate_response(response)


@SCHEMA.parametrize()
def test_nobody_gets_what_the_contract_says_of_them(case: schemathesis.Case, visitor: Visitor) -> None:
    response = visitor.send(case, {})
    if needed(case.operation.method.upper(), case.operation.path)[0] != OPEN and case.method == case.operation.method.upper():
        assert response.status_code in (401, 405), response.text
    case.validate_response(response)
