"""The ``prepwright`` command. Each sub-command is loaded only when it is asked for, so that a short answer is quick."""

import argparse
import gc
import os
import sys
from collections.abc import Callable, Sequence

from clients.cli import bench, day, office, policy, shelf
from clients.errors import AskError

EXIT_CODES = {"planned": 0, "answered": 0, "question": 3, "held": 4, "refused": 5, "not_understood": 6}
FAULT, USAGE, INTERRUPTED = 1, 2, 130
_CODES_SAID = """exit codes: 0 planned or answered, 3 question, 4 held, 5 refused, 6 not understood, 2 usage, 1 fault"""


def run(arguments: Sequence[str] | None = None) -> int:
    """Run one command; the exit code. Nothing a person can type ends in a trace (PREPWRIGHT_DEBUG=1 shows it)."""
    options = parser().parse_args(arguments)
    if arguments is None and options.command is _ask:
        gc.disable()  # one answer and out: nothing lives long enough to be collected
    command: Callable[[argparse.Namespace], int] = options.command
    try:
        code = command(options)
        sys.stdout.flush()
        return code
    except AskError as error:
        _say(str(error), error.lines)
        return EXIT_CODES.get(error.outcome, FAULT)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # nobody reads on: no complaint at exit
        return FAULT
    except KeyboardInterrupt:
        return INTERRUPTED
    except Exception as fault:
        if os.environ.get("PREPWRIGHT_DEBUG"):
            raise
        return _say(f"a fault in the program: {type(fault).__name__}.", ("PREPWRIGHT_DEBUG=1 shows where.",))


def parser() -> argparse.ArgumentParser:
    """The command line: sub-commands and their options."""
    top = argparse.ArgumentParser(
        prog="prepwright",
        allow_abbrev=False,
        epilog=_CODES_SAID,
        description="Checked plans for making up solutions, asked in plain words.",
    )
    commands = top.add_subparsers(title="commands", required=True, metavar="COMMAND", prog="prepwright")

    ask = _command(commands, "ask", "answer one request", _ask)
    ask.add_argument("text", nargs="*", help="the request, in one or several words; - or nothing reads standard input")
    ask.add_argument("--json", action="store_true", help="the reply as one JSON document")

    _command(commands, "chat", "a conversation, one request a line", _chat)

    bulk = _command(
        commands,
        "bulk",
        "answer every line of a file",
        _bulk,
        "Plain text (one request a line), CSV with a column 'text' (and 'id', 'conversation'), or JSON lines with 'text' or "
        "'request' (and 'id', 'conversation'). One JSON reply a line, in order; the line's id comes back as 'ref'. Lines "
        "of one conversation are taken as messages of one talk.",
    )
    bulk.add_argument("file", help="the file, or - for standard input")
    bulk.add_argument("--out", metavar="FILE", help="write the replies here instead of standard output")
    bulk.add_argument("--format", choices=("auto", "text", "csv", "jsonl"), default="auto", help="what the file holds")

    serve = _command(commands, "serve", "run the API for other programs on this machine", _serve, server=False)
    serve.add_argument("--host", default="127.0.0.1", help="address to listen at (default: this machine only)")
    serve.add_argument("--port", type=int, default=8000, help="port, 0 for any free one (default 8000)")
    serve.add_argument(
        "--db", metavar="URL", help="file, sqlite:/// or postgresql:// URL (default: a file in your data folder)"
    )
    serve.add_argument(
        "--open-to-network",
        action="store_true",
        help="allow an address that other machines reach; there must be accounts, and everybody logs in",
    )

    rules = _command(commands, "rules", "list the rules, or explain one", _rules)
    rules.add_argument("id", nargs="?", help="the rule to explain")
    rules.add_argument("--group", help="only this group")

    substances = _command(commands, "substances", "search the substances", _substances)
    substances.add_argument(
        "words", nargs="*", help="a name, part of one, a formula or a CAS number; nothing lists all"
    )
    bench.add(commands, _command)
    day.add(commands, _command)
    shelf.add(commands, _command)
    office.add(commands, _command)
    policy.add(commands, _command)
    return top


def _command(
    commands: "argparse._SubParsersAction[argparse.ArgumentParser]",
    name: str,
    summary: str,
    call: Callable[[argparse.Namespace], int],
    about: str | None = None,
    server: bool = True,
) -> argparse.ArgumentParser:
    made = commands.add_parser(
        name,
        help=summary,
        description=about or summary.capitalize() + ".",
        allow_abbrev=False,
        epilog=_CODES_SAID if name == "ask" else None,
    )
    made.set_defaults(command=call)
    if server:
        made.add_argument(
            "--server",
            metavar="URL",
            default=os.environ.get("PREPWRIGHT_SERVER") or None,
            help="ask this running service instead of planning here (or set PREPWRIGHT_SERVER)",
        )
    return made


def _ask(options: argparse.Namespace) -> int:
    from clients.cli.ask import ask

    return EXIT_CODES[ask(options.text, options.json, options.server)]


def _chat(options: argparse.Namespace) -> int:
    from clients.cli.chat import chat

    return chat(options.server)


def _bulk(options: argparse.Namespace) -> int:
    from clients.cli.bulk import bulk

    return bulk(options.file, options.out, options.format, options.server)


def _serve(options: argparse.Namespace) -> int:
    from clients.cli.serve import serve

    return serve(options.host, options.port, options.db, options.open_to_network)


def _rules(options: argparse.Namespace) -> int:
    from clients.cli.reference import rules

    return rules(options.id, options.group, options.server)


def _substances(options: argparse.Namespace) -> int:
    from clients.cli.reference import substances

    return substances(" ".join(options.words), options.server)


def _say(message: str, lines: Sequence[str]) -> int:
    print(f"prepwright: {message}", *(f"  {line}" for line in lines), sep="\n", file=sys.stderr)
    return FAULT
