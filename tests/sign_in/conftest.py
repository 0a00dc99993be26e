"""Passwords are hashed at less cost here: what is tested is who comes in, not how slow guessing is."""

import pytest
from argon2 import PasswordHasher

from service.people import secrets


@pytest.fixture(autouse=True)
def _quick_hashes(monkeypatch: pytest.MonkeyPatch) -> None:
    hasher = PasswordHasher(time_cost=1, memory_cost=8 * 1024, parallelism=1)
    monkeypatch.setattr(secrets, "_hasher", lambda: hasher)
