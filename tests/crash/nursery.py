"""Starts one server after the other, each a process of its own, from one process that has loaded everything already.

Most of the time between two kills goes into loading modules and tables, which has nothing to do with what is stored. Each
line read starts a server; its process id is printed first, its own announcement next, and "over" once it has ended.
"""

import os
import sys

from clients import transport
from service import app
from service.bench import default_bench
from service.pipeline import answer
from tests.crash.load import PLANNED


def main(port: int, database: str) -> None:
    """Serve ``database`` on ``port`` as often as asked."""
    assert app.create_app is not None
    answer(PLANNED, default_bench())
    for _ in sys.stdin:
        process = os.fork()
        if process == 0:
            os._exit(transport.serve("127.0.0.1", port, database, only_this_machine=True))
        print(process, flush=True)
        os.waitpid(process, 0)
        print("over", flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]), sys.argv[2])
