"""A college with accounts, on every store."""

import pytest

from tests.conftest import StartApp
from tests.people.college import College
from tests.people.conftest import _quick_hashes

__all__ = ["_quick_hashes", "college"]


@pytest.fixture
def college(start: StartApp, database: str) -> College:
    """One account for each role."""
    return College(start(database))
