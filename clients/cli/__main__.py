"""``python -m clients.cli``: the command line without an installed ``prepwright``."""

import sys

from clients.cli.main import run

sys.exit(run())
