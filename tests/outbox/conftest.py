"""A college with accounts, a receiver and a service that sends to it, on every store."""

from collections.abc import Iterator

import pytest

from tests.conftest import Running, StartApp
from tests.outbox.receiver import Receiver
from tests.people.college import College
from tests.people.conftest import _quick_hashes

__all__ = ["_quick_hashes", "college"]


@pytest.fixture
def college(start: StartApp, database: str) -> College:
    """One account for each role."""
    return College(start(database))


@pytest.fixture
def receiver() -> Iterator[Receiver]:
    """One that takes everything."""
    found = Receiver()
    yield found
    found.close()


@pytest.fixture
def running(start: StartApp, database: str) -> Running:
    """A service whose sender runs only when a test says so, and that may send to this machine."""
    return start(database, webhook_sender=False, webhook_private=True)
