"""``prepwright shelf``: its options, and the call each leads to."""

import argparse
from collections.abc import Callable
from typing import Any

Make = Callable[..., argparse.ArgumentParser]
KINDS = ("take", "hand-out", "reserve", "release", "quarantine", "clear", "withdraw")
STATES = ("in use", "expired", "quarantined", "used up", "withdrawn")
_LOW_PCT, _SOON_DAYS = 10, 30


def add(commands: Any, make: Make) -> None:
    """Add shelf to the command line."""
    shelf = make(commands, "shelf", "bottles on the shelf", _shelf,
                 "A table to fill in: 'prepwright shelf export'; it goes back with 'prepwright shelf import FILE'.")  # fmt: skip
    asked = shelf.add_subparsers(title="what to do", required=True, metavar="WHAT")

    listed = asked.add_parser("list", help="list what is there, newest first", allow_abbrev=False)
    _filters(listed)

    shown = asked.add_parser(
        "show", help="one bottle, what happened to it, and what was made from it", allow_abbrev=False
    )
    shown.add_argument("id", help="the bottle")

    planned = asked.add_parser(
        "for", help="where the things of a plan stand, what is short, what is made already", allow_abbrev=False
    )
    planned.add_argument("id", help="the stored plan")

    added = asked.add_parser("add", help="put a bottle on the shelf", allow_abbrev=False)
    added.add_argument("name", nargs="*", help="name and form as on the bottle, such as copper sulfate pentahydrate")
    added.add_argument("--form", help="the form, where the name does not say it: pentahydrate, anhydrous, variable")
    added.add_argument("--preparation", metavar="ID", help="it holds this preparation: then no name")
    added.add_argument("--amount", required=True, metavar="AMOUNT", help="what it holds, such as '500 g' or '2500 mL'")
    added.add_argument("--place", required=True, help="where it stands, such as 'cabinet B2'")
    added.add_argument("--by", required=True, metavar="WHO", help="initials or staff id")
    added.add_argument(
        "--strength", metavar="STRENGTH", help="of a solution, as on its label: '0.1 mol/L', '37 %% w/w'"
    )
    added.add_argument("--lot", help="lot of the bottle")
    added.add_argument("--assay", metavar="PERCENT", help="assay of the lot's certificate, %% by mass")
    added.add_argument("--density", metavar="G_PER_ML", help="as on the label, g/mL")
    added.add_argument("--supplier", help="who sold it")
    added.add_argument("--opened", metavar="DAY", help="year-month-day")
    added.add_argument("--expiry", metavar="DAY", help="the last day it may be used, year-month-day")

    event = asked.add_parser("event", help="take, reserve, quarantine and the like", allow_abbrev=False)
    event.add_argument("id", help="the bottle; a preparation too for quarantine, clear and withdraw")
    event.add_argument("kind", choices=KINDS, help="what happens to it")
    event.add_argument("--by", required=True, metavar="WHO", help="initials or staff id")
    event.add_argument("--amount", metavar="AMOUNT", help="how much, in the unit of the bottle: '24.97 g'")
    event.add_argument("--reason", help="why")
    event.add_argument("--to", help="the course or room it goes to; no name of a student")
    event.add_argument("--plan", metavar="ID", help="the plan it is for")
    event.add_argument("--reservation", type=int, metavar="N", help="number of the event that reserved it")

    brought = asked.add_parser(
        "import", help="try a CSV table of bottles, or put them on the shelf", allow_abbrev=False
    )
    brought.add_argument("file", help="the table; - reads standard input")
    which = brought.add_mutually_exclusive_group()
    which.add_argument(
        "--dry-run", action="store_true", help="say what each row gives and store nothing (this is the default)"
    )
    which.add_argument("--confirm", action="store_true", help="put them on the shelf: every row, or none")
    brought.add_argument("--by", metavar="WHO", help="who puts up the bottles whose row has nothing in 'by'")

    taken = asked.add_parser("export", help="write the shelf as a CSV table", allow_abbrev=False)
    taken.add_argument("file", nargs="?", help="the file to write (default: standard output)")
    _filters(taken)

    soon = asked.add_parser("expiring", help="bottles and preparations by their last day", allow_abbrev=False)
    soon.add_argument("--within", type=int, default=_SOON_DAYS, metavar="DAYS",
                      help=f"how far ahead (default {_SOON_DAYS})")  # fmt: skip

    sample = asked.add_parser(
        "example", help="put up the bottles of an invented college, to try things out", allow_abbrev=False
    )
    sample.add_argument("--beside", action="store_true", help="even where other bottles are on this shelf")
    for name, part in asked.choices.items():
        if name != "export":
            part.add_argument("--json", action="store_true", help="the answer as one JSON document")
        part.set_defaults(what=name)


def _filters(part: argparse.ArgumentParser) -> None:
    part.add_argument("--substance", metavar="NAME", help="only this substance, any form")
    part.add_argument("--place", help="only this place, as it was written")
    part.add_argument("--expiring", type=int, metavar="DAYS", help="only what is past its last day in so many days")
    part.add_argument("--low", type=int, nargs="?", const=_LOW_PCT, metavar="PERCENT",
                      help=f"only bottles with at most this share left (default {_LOW_PCT})")  # fmt: skip
    part.add_argument("--state", choices=STATES, help="only bottles in this state")


def _shelf(options: argparse.Namespace) -> int:
    from clients.cli.shelf_calls import shelf

    return shelf(options)
