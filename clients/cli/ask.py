"""``prepwright ask``: one request, one reply."""

import sys

from clients.cli.main import USAGE
from clients.cli.text import read_all, well_formed
from clients.transport import desk


def ask(words: list[str], as_json: bool, server: str | None) -> str:
    """Print the reply to the words (or to standard input); its outcome."""
    if words == ["-"] or (not words and not sys.stdin.isatty()):
        text = read_all()
    elif words:
        text = well_formed(" ".join(words))
    else:
        print(
            'prepwright ask: type the request, such as: prepwright ask "250 mL of 0.1 M sodium chloride"',
            file=sys.stderr,
        )
        sys.exit(USAGE)
    document = desk(server).ask(text)
    if as_json:
        import json

        indent = 2 if sys.stdout.isatty() else None
        sys.stdout.buffer.write(json.dumps(document, ensure_ascii=False, indent=indent).encode() + b"\n")
    else:
        from clients.cli.page import page_for
        from clients.cli.render import reply

        page = page_for(sys.stdout)
        reply(page, document, text)
        sys.stdout.write(page.text())
    outcome: str = document["outcome"]
    return outcome
