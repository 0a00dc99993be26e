"""Kill the server again and again under write load, and print what was lost. The exit code is 1 when anything was."""

import argparse
import sys
import tempfile
from contextlib import nullcontext
from pathlib import Path

from tests.crash.databases import new_database
from tests.crash.killing import run


def main() -> int:
    """``--postgresql`` names a server: a new database is made on it for the run and dropped afterwards."""
    options = argparse.ArgumentParser(prog="python -m tests.crash", description=__doc__)
    options.add_argument("--kills", type=int, default=200, help="kills under load (default 200); more come while it starts")
    options.add_argument("--clients", type=int, default=4, help="client threads (default 4)")
    options.add_argument("--seed", type=int, default=1, help="of the moments of the kills (default 1)")
    options.add_argument("--whole-starts", action="store_true", help="load everything anew at each start, as in service (slow)")
    options.add_argument("--postgresql", metavar="URL", help="a PostgreSQL server to run on instead of SQLite")
    asked = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        file = nullcontext(str(Path(folder) / "plans.sqlite3"))
        with file if asked.postgresql is None else new_database(asked.postgresql) as database:
            found = run(database, Path(folder), asked.kills, asked.seed, asked.clients, say=True, quick=not asked.whole_starts)
    print("\n".join(found.lines()))
    return 0 if found.sound else 1


if __name__ == "__main__":
    sys.exit(main())
