"""Without the packages for printing everything else works, and printing says what to install."""

from typing import Any

import pytest

from service.paper import press
from tests.conftest import Running
from tests.records.bench import record


def test_printing_says_what_is_missing(running: Running, monkeypatch: pytest.MonkeyPatch) -> None:
    def missing(_name: str) -> Any:
        raise ImportError

    monkeypatch.setattr(press, "import_module", missing)
    made = record(running, "250 mL of 0.100 M sodium chloride", "1.4610")
    for address in (f"/v1/preparations/{made['id']}/label", f"/v1/plans/{made['plan']}/sheet"):
        refused = running.get(address)
        assert refused.status_code == 501
        assert refused.json()["type"] == "/problems/printing-not-installed"
        assert "prepwright[print]" in running.get("/problems/printing-not-installed").json()["remedy"]
