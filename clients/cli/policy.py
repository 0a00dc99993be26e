"""``prepwright policy``: the local policy, what a new one would change, and the two people it takes."""

import argparse
import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from clients.errors import AskError

Document = dict[str, Any]
Make = Callable[..., argparse.ArgumentParser]


def add(commands: Any, make: Make) -> None:
    """Add policy to the command line."""
    policy = make(commands, "policy", "the limits of this house, in versions", _policy,
                  "Begin with 'policy show --json > policy.json'; change the file; 'policy diff policy.json'.")  # fmt: skip
    asked = policy.add_subparsers(title="what to do", required=True, metavar="WHAT")
    shown = asked.add_parser("show", help="show the policy in force, or another version", allow_abbrev=False)
    shown.add_argument("number", nargs="?", type=int, help="the version; 0 is what is shipped")
    shown.add_argument("--json", action="store_true", help="the policy alone, as JSON to be changed")
    asked.add_parser("list", help="list versions and proposals", allow_abbrev=False)
    for name, about in (
        ("diff", "what a file would change, without storing it"),
        ("propose", "propose the policy in a file"),
    ):
        part = asked.add_parser(name, help=about, allow_abbrev=False)
        part.add_argument("file", help="the policy as JSON; - reads standard input")
    for name, about in (("confirm", "put a proposal of somebody else in force"), ("decline", "turn a proposal down")):
        asked.add_parser(name, help=about, allow_abbrev=False).add_argument("number", type=int, help="the proposal")
    for name, part in asked.choices.items():
        if name in ("propose", "confirm", "decline"):
            part.add_argument("--reason", required=True, help="why; it goes into the log")
        part.set_defaults(what=name)


def _policy(options: argparse.Namespace) -> int:
    from clients.cli.targets import write_json, write_lines
    from clients.transport import bench

    with bench(options.server) as at:
        if options.what == "list":
            write_lines("Policies", _lines(at.policies()))
        elif options.what in ("diff", "propose"):
            reason = getattr(options, "reason", "dry run")
            found = at.propose_policy(_read(options.file), reason, options.what == "diff")
            write_lines(_title(found), _changes(found))
        elif options.what == "show":
            found = at.policy(options.number)
            if options.json:
                write_json(found["policy"])
            else:
                write_lines(_headline(found), _limits(found["policy"]))
        else:
            found = at.decide_policy(options.number, options.what, options.reason)
            write_lines(_headline(found), [("note", found["note"])] if "note" in found else [])
    return 0


def _read(file: str) -> Document:
    try:
        content = sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes()
        found = json.loads(content)
    except OSError as error:
        raise AskError(f"{file} cannot be read: {error.strerror}.") from None
    except ValueError as error:
        raise AskError(f"{file} is no JSON: {error}.") from None
    if not isinstance(found, dict):
        raise AskError(f"{file} holds no policy.", ("'prepwright policy show --json' gives one to change.",))
    return found


def _headline(found: Document) -> str:
    return f"Policy {found['version']}, {found['state']}: {found['name']} (law: {found['pack']})"


def _lines(page: Document) -> list[tuple[str, str]]:
    found = [
        (f"{line['n']}  {line['state']}", f"{line['name']}; proposed {line['at'][:10]}: {line['reason']}")
        for line in page["policies"]
    ]
    if page["in_force"] == 0:
        found.append(("0  in force", "what is shipped"))
    return found


def _limits(policy: Document) -> list[tuple[str, str]]:
    found = []
    for name, part in policy.items():
        if isinstance(part, dict):
            found += [(name.replace("_", " "), f"{key} {_said(value)}") for key, value in part.items()]
        elif isinstance(part, list):
            found += [(name.replace("_", " "), _said(value)) for value in part] or [(name.replace("_", " "), "none")]
    return found


def _title(found: Document) -> str:
    return f"Proposal {found['n']}" if "n" in found else "What it would change"


def _changes(found: Document) -> list[tuple[str, str]]:
    lines = [("changes", _change(change)) for change in found["changes"]] or [("changes", "nothing")]
    plans = found["open_plans"]
    more = ", the newest only" if plans["newest_only"] else ""
    lines.append(("open plans", f"{plans['looked_at']} planned again{more}"))
    lines += [("", f"{t['plans']} from {t['before']} to {t['after']}") for t in plans["totals"]]
    for plan in plans["plans"]:
        why = plan["why"][0]["message"] if plan["why"] else ""
        lines.append((plan["plan"], f"{plan['before']} -> {plan['after']}: {plan.get('read_as', '')}. {why}"))
    return [*lines, ("next", found["next"])]


def _change(change: Document) -> str:
    if "before" not in change:
        return f"{change['field']}: added {_said(change['after'])}"
    if "after" not in change:
        return f"{change['field']}: taken out {_said(change['before'])}"
    return f"{change['field']}: {_said(change['before'])} -> {_said(change['after'])}"


def _said(value: Any) -> str:
    if isinstance(value, float):
        return f"{value:g}" if abs(value) < 1e6 else f"{value:.0f}"
    if isinstance(value, dict):
        return ", ".join(f"{key} {_said(held)}" for key, held in value.items())
    if isinstance(value, list):
        return "; ".join(map(_said, value)) or "none"
    return str(value)
