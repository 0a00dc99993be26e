"""The README shows what the program prints."""

import re
from pathlib import Path

import pytest

from clients.cli.main import run

README = Path(__file__).parent.parent / "README.md"
#: Lines that change with every release of rules or tables.
VARIES = ("not stored: draft-", "rules ")


def shown(text: str) -> list[str]:
    return [line.rstrip() for line in text.strip().splitlines() if not line.startswith(VARIES)]


def test_the_answer_in_the_readme_is_the_one_that_is_printed(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    text = README.read_text(encoding="utf-8")
    block = re.search(r"```text\n(.*?)```", text, re.S)
    asked = re.search(r'prepwright ask "([^"]+)"', text)
    assert block is not None
    assert asked is not None
    assert run(["ask", asked[1]]) == 0
    assert shown(block[1]) == shown(capsys.readouterr().out)
