"""The table of threats names tests that are there."""

import re
from pathlib import Path

TESTS = Path(__file__).parent
TABLE = TESTS.parent / "docs" / "threats.md"


def test_every_test_that_the_table_names_is_there() -> None:
    there = {name for file in TESTS.rglob("test_*.py") for name in re.findall(r"def (test_\w+)", file.read_text("utf-8"))}
    named = set(re.findall(r"`(test_\w+)`", TABLE.read_text("utf-8")))
    assert len(named) > 30
    assert named - there == set()
