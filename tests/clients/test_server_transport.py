"""The same commands against a running server."""

import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from clients.api import Server
from clients.errors import AskError
from clients.transport import InProcess
from tests.crash.servers import start_server

SALT = "250 mL of 0.1 M sodium chloride"


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    folder = tmp_path_factory.mktemp("server")
    server, port = start_server(str(folder / "plans.sqlite3"), folder)
    yield f"http://127.0.0.1:{port}"
    server.terminate()
    server.wait(20)


def test_a_server_gives_the_same_documents_as_this_process(address: str) -> None:
    there, here = Server(address), InProcess()
    for asked in (SALT, "10 banana", "500 mL of 0.1 M copper sulfate"):
        stored, draft = there.ask(asked), here.ask(asked)
        assert len(stored.pop("id")) == 10
        assert draft.pop("id").startswith("draft-")
        assert stored == json.loads(json.dumps(draft))
    assert there.rules(None) == here.rules(None)
    rule_id = here.rules(None)[0]["id"]
    assert there.rule(rule_id) == json.loads(json.dumps(here.rule(rule_id)))
    assert there.substances("copper sulf")["substances"] == here.substances("copper sulf")["substances"]


def test_a_typed_request_goes_either_way(address: str) -> None:
    option = Server(address).ask("500 mL of 0.1 M copper sulfate")["question"]["options"][0]
    there, here = Server(address).ask(option["request"]), InProcess().ask(option["request"])
    assert there["plan"]["measure"] == json.loads(json.dumps(here["plan"]["measure"]))


@pytest.mark.parametrize("desk", ["here", "there"])
def test_what_cannot_be_asked_is_said_the_same_way(address: str, desk: str) -> None:
    asked_at = Server(address) if desk == "there" else InProcess()
    with pytest.raises(AskError) as caught:
        asked_at.ask({"components": [], "total": {"value": "-5", "unit": "furlong"}})
    assert any("furlong" in line for line in caught.value.lines)
    with pytest.raises(AskError):
        asked_at.rule("nothing/at all")
    with pytest.raises(AskError):
        asked_at.rules("nonsense")


def test_the_command_asks_a_server(address: str) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "clients.cli", "ask", "--json", "--server", address, SALT],
        capture_output=True,
        cwd=Path(__file__).parents[2],
        timeout=30,
    )
    assert done.returncode == 0
    assert len(json.loads(done.stdout)["id"]) == 10


def test_the_web_framework_is_not_loaded_to_ask_in_process() -> None:
    script = (
        "import sys, clients.cli.main as m; code = m.run(['ask', '250 mL of 0.1 M sodium chloride']);"
        "heavy = {'fastapi', 'sqlalchemy', 'uvicorn', 'httpx', 'pydantic', 'pint', 'periodictable', 'structlog'} & set(sys.modules);"
        "print(code, sorted(heavy), file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, cwd=Path(__file__).parents[2], timeout=30, text=True
    )
    assert done.stderr == "0 []\n"


def test_nothing_of_the_service_is_loaded_to_ask_a_server(address: str) -> None:
    script = (
        f"import sys, clients.cli.main as m; m.run(['ask', '--server', '{address}', '{SALT}']);"
        "print(sorted(n for n in sys.modules if n.split('.')[0] in ('grammar', 'rules', 'service', 'lark', 'orjson')), file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, cwd=Path(__file__).parents[2], timeout=30, text=True
    )
    assert done.stderr == "[]\n"
