"""An invented college: one account for each role, and ways to call as each."""

from typing import Any

import httpx

from service.people.rights import ROLES, SCOPES
from tests.conftest import Running

PASSWORD = "four quiet brown owls"


class College:
    """A running service with accounts; ``key`` sends requests as the holder of an API key."""

    def __init__(self, running: Running) -> None:
        self.running = running
        self.ids: dict[str, str] = {}
        self.keys: dict[str, Any] = {}
        accounts = running.services.door.accounts
        for role in ROLES:
            self.add(role, role)
        for role, person in self.ids.items():
            scopes = SCOPES if role != "machine" else ("plan:read", "plan:write")
            self.keys[role] = running.run(accounts.add_key(person, scopes, 30))
        running.services.door.forget()

    def add(self, name: str, role: str) -> str:
        password = None if role == "machine" else PASSWORD
        accounts = self.running.services.door.accounts
        self.ids[name] = self.running.run(accounts.add(name, [role], password, f"The {name} of Alder Vale"))
        return self.ids[name]

    def log_in(self, name: str, password: str = PASSWORD) -> httpx.Response:
        response = self.running.call("POST", "/v1/session", json={"name": name, "password": password})
        self.running.client.cookies.clear()
        return response

    def as_(self, name: str, method: str, path: str, **options: Any) -> httpx.Response:
        """A request with a session of that account, made as the web page makes it."""
        entered = self.log_in(name)
        assert entered.status_code == 200, entered.text
        headers = {
            "Cookie": f"prepwright_session={entered.cookies['prepwright_session']}",
            "X-CSRF-Token": entered.json()["csrf_token"],
            **options.pop("headers", {}),
        }
        return self.running.call(method, path, headers=headers, **options)

    def by_key(self, name: str, method: str, path: str, **options: Any) -> httpx.Response:
        """A request with the API key of that account."""
        headers = {"Authorization": f"Bearer {self.keys[name].bearer}", **options.pop("headers", {})}
        return self.running.call(method, path, headers=headers, **options)

    def ask(self, name: str, text: str, **more: Any) -> httpx.Response:
        return self.by_key(name, "POST", "/v1/plans", json={"text": text, **more})
