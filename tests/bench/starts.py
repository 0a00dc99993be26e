"""The figures of starting: ``prepwright ask`` beside a bare interpreter, each a new process."""

import compileall
import os
import subprocess
import sys
from pathlib import Path

from tests.bench.paired import Paired, of_children, paired

ROOT = Path(__file__).parents[2]
_ASK = "import sys; from clients.cli.main import run; sys.exit(run(sys.argv[1:]))"


def compiled() -> None:
    """Bytecode and table snapshot as an installation has them."""
    for folder in ("grammar", "rules", "service", "clients"):
        compileall.compile_dir(ROOT / folder, quiet=1)
    _run("-c", _ASK, "ask", "250 mL of 0.1 M sodium chloride")


def _run(*arguments: str) -> None:
    surroundings = {k: v for k, v in os.environ.items() if k not in ("PYTHONDONTWRITEBYTECODE", "PREPWRIGHT_SERVER")}
    subprocess.run([sys.executable, *arguments], check=True, stdout=subprocess.DEVNULL, cwd=ROOT, env=surroundings)


def ask(rounds: int) -> Paired:
    """One request answered in process."""
    compiled()
    request = "250 mL of 0.1 M sodium chloride"
    return paired(lambda: _run("-c", "pass"), lambda: _run("-c", _ASK, "ask", request), rounds, of_children)


def everything(rounds: int) -> Paired:
    """The same start, were everything imported: the ceiling that lazy imports are held against."""
    heavy = "import pint, periodictable, fastapi, sqlalchemy, pydantic, lark, rapidfuzz, service.app"
    return paired(lambda: _run("-c", "pass"), lambda: _run("-c", heavy), rounds, of_children)
