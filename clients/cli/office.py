"""``prepwright people`` and ``prepwright verify``: accounts, keys and the log, on the machine of the service."""

import argparse
import getpass
import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from clients.errors import AskError

Make = Callable[..., argparse.ArgumentParser]
ROLES = ("requester", "maker", "head-technician", "safety-officer", "auditor", "admin", "learner", "machine")
SCOPES = ("plan:read", "plan:write", "record:write", "approve", "policy", "audit:read")
_DB = "file, sqlite:/// or postgresql:// URL (default: a file in your data folder)"


def add(commands: Any, make: Make) -> None:
    """Add people and verify to the command line."""
    people = make(commands, "people", "accounts and API keys", _people, server=False)
    asked = people.add_subparsers(title="what to do", required=True, metavar="WHAT")

    added = asked.add_parser("add", help="make an account; the password is asked for", allow_abbrev=False)
    added.add_argument("name", help="the name to log in with")
    added.add_argument("--role", action="append", required=True, choices=ROLES, help="repeat for several")
    added.add_argument("--full-name", default="", help="the name others see")
    added.add_argument("--password-stdin", action="store_true", help="read the password from standard input")

    asked.add_parser("list", help="list the accounts", allow_abbrev=False)

    key = asked.add_parser("key", help="make an API key, or withdraw one", allow_abbrev=False)
    key.add_argument("name", nargs="?", help="whose key it is")
    key.add_argument("--scope", action="append", default=[], choices=SCOPES, help="repeat for several")
    key.add_argument("--days", type=int, default=90, help="how long it is good (default 90)")
    key.add_argument("--withdraw", metavar="KEY", help="the id of a key that is to be good no longer")

    closed = asked.add_parser("close", help="take an account out of use", allow_abbrev=False)
    closed.add_argument("name")

    erased = asked.add_parser("erase", help="take out whose account it was; the log stays whole", allow_abbrev=False)
    erased.add_argument("name")
    erased.add_argument("--yes", action="store_true", help="do it: it cannot be undone")

    exported = asked.add_parser("export", help="everything held of one person, as JSON", allow_abbrev=False)
    exported.add_argument("name")
    for name, part in asked.choices.items():
        part.add_argument("--db", metavar="URL", help=_DB)
        part.set_defaults(what=name)

    verify = make(commands, "verify", "check that nobody changed the log", _verify, server=False)
    verify.add_argument("--export", metavar="FILE", help="check an exported log (JSON lines) instead of the database")
    verify.add_argument("--head", metavar="FILE", help="the head file kept outside, for an exported log")
    verify.add_argument("--db", metavar="URL", help=_DB)


    kept = make(commands, "backup", "write the whole store to one file, while the service runs", _backup, server=False)
    kept.add_argument("file", help="the file to write; it must not be there yet")
    kept.add_argument("--db", metavar="URL", help=_DB)

    restored = make(commands, "restore", "make a new store from a backup", _restore, server=False)
    restored.add_argument("file", help="the backup")
    restored.add_argument("--db", metavar="URL", required=True, help="an empty database: " + _DB.partition(" (")[0])


def _backup(options: argparse.Namespace) -> int:
    from clients.transport import administration

    rows = administration(options.db, "backup", Path(options.file))
    print(f"Written to {options.file}: {rows['audit']} entries of the log, {rows['plans']} replies, {sum(rows.values())} rows in all.")
    return 0


def _restore(options: argparse.Namespace) -> int:
    from clients.transport import administration

    count = administration(options.db, "restore", Path(options.file))
    print(f"Restored, and the log is whole: {count} entries.")
    return 0


def _people(options: argparse.Namespace) -> int:
    from clients.transport import administration

    if options.what == "list":
        for person in administration(options.db, "people"):
            closed = "" if person["active"] else "  closed"
            print(f"{person['name']:<20}{', '.join(person['roles']):<34}{person['full_name']}{closed}")
    elif options.what == "add":
        password = None if options.role == ["machine"] else _password(options.password_stdin)
        found = administration(options.db, "add_person", options.name, options.role, password, options.full_name)
        print(f"{options.name} has an account: {found}")
    elif options.what == "close":
        administration(options.db, "close_person", options.name)
        print(f"{options.name} can come in no longer.")
    elif options.what == "erase":
        if not options.yes:
            raise AskError("This cannot be undone.", (f"prepwright people erase {options.name} --yes",))
        found = administration(options.db, "erase_person", options.name)
        print(f"Erased. The log goes on naming {found}, and nothing here says any more who that was.")
        print("Backups and initials written into records are not changed: see README, 'Running it for others'.")
    elif options.what == "export":
        print(json.dumps(administration(options.db, "export_person", options.name), indent=1, ensure_ascii=False))
    elif options.withdraw:
        administration(options.db, "withdraw_key", options.withdraw)
        print(f"The key {options.withdraw} is good no longer.")
    else:
        _key(options)
    return 0


def _key(options: argparse.Namespace) -> None:
    from clients.transport import administration

    if not options.name or not options.scope:
        raise AskError("Whose key, and what for?", ("prepwright people key NAME --scope plan:write --days 90",))
    key = administration(options.db, "add_key", options.name, options.scope, options.days)
    print(f"The key, shown this once: {key.bearer}")
    print(f"For POST /v1/token: client_id {key.id}, client_secret {key.secret}")
    print(f"Good until {key.expires[:10]}.")


def _password(from_input: bool) -> str:
    if from_input:
        return sys.stdin.readline().rstrip("\n")
    if not sys.stdin.isatty():
        raise AskError("The password is typed at a terminal.", ("--password-stdin reads it from standard input.",))
    first, second = getpass.getpass("Password: "), getpass.getpass("Again: ")
    if first != second:
        raise AskError("The two are not the same.")
    return first


def _verify(options: argparse.Namespace) -> int:
    from clients import transport

    if options.export:
        count, broken = transport.verify_export(options.export, options.head)
    else:
        count, broken = transport.administration(options.db, "verify_store")
    if broken is None:
        print(f"The log is whole: {count} entries.")
        if options.export and not options.head:
            print("Whether its end was cut off is seen only with --head FILE.")
        return 0
    raise AskError(f"The log is not whole: {broken.message}.", (f"First bad entry: {broken.seq} ({broken.code})",))
