"""``prepwright day``: a prep day from a file of requests, what it is, and its sheet."""

import argparse
from collections.abc import Callable
from typing import Any

Document = dict[str, Any]
Make = Callable[..., argparse.ArgumentParser]


def add(commands: Any, make: Make) -> None:
    """Add day to the command line."""
    day = make(commands, "day", "prep days: requests merged, totals, order of work, the sheet", _day,
               "The file holds one request a line; or CSV with a column 'text' (and needed_by, room, to, and for a class set "
               "students, group_size, sections, each_mL, repeats, rinse_mL, rinses, dead_volume_mL, spare_percent); or JSON "
               "as POST /v1/days takes it, or its requests as JSON lines.")  # fmt: skip
    asked = day.add_subparsers(title="what to do", required=True, metavar="WHAT")
    made = asked.add_parser("make", help="plan and store a prep day", allow_abbrev=False)
    made.add_argument("file", help="the requests; - reads standard input")
    made.add_argument("--date", metavar="DAY", help="the day, as 2027-01-18 (may stand in the JSON)")
    shown = asked.add_parser("show", help="show a prep day as it stands", allow_abbrev=False)
    sheet = asked.add_parser("sheet", help="write the sheet of a prep day as PDF", allow_abbrev=False)
    sheet.add_argument("--out", metavar="FILE", help="the PDF to write (default: its name, here)")
    for part in (shown, sheet):
        part.add_argument("id", help="the prep day")
    for part in (made, shown):
        part.add_argument("--json", action="store_true", help="the day as one JSON document")
    asked.add_parser("list", help="list the prep days, newest first", allow_abbrev=False)
    for name, part in asked.choices.items():
        part.set_defaults(what=name)


def _day(options: argparse.Namespace) -> int:
    from clients.cli.day_file import read_day
    from clients.cli.targets import write_json, write_lines, write_pages
    from clients.transport import bench

    body = read_day(options.file, options.date) if options.what == "make" else {}
    with bench(options.server) as at:
        if options.what == "sheet":
            return write_pages(at.day_sheet(options.id), options.out, f"day-{options.id}")
        if options.what == "list":
            write_lines("Prep days", [_listed(line) for line in at.days()["days"]])
            return 0
        found = at.make_day(body) if options.what == "make" else at.day(options.id)
    if options.json:
        write_json(found)
    else:
        write_lines(f"Prep day {found['id']}, {found['date']}", said(found))
    return 0


def _listed(line: Document) -> tuple[str, str]:
    return line[
        "id"
    ], f"{line['date']}: {line['requests']} requests, {line['preparations']} preparations, {line['apart']} apart"


def said(day: Document) -> list[tuple[str, str]]:
    """The day as labelled lines: order of work, preparations, pick list, and what stands apart."""
    lines = [(f"do {task['n']}", f"{task['text']} ({task['because']})") for task in day["order"]]
    for one in day["preparations"]:
        lines += _preparation(one)
    lines += [("fetch", _fetched(line)) for line in day["pick_list"]]
    for one in day["apart"]:
        state = f", {one['state']}" if "state" in one else ""
        numbers = ", ".join(map(str, one["lines"]))
        lines.append(
            (
                f"apart: line {numbers}",
                f"{one['why'].replace('_', ' ')}{state}: {one['asked']}. {one['message']} [{one['plan']}]",
            )
        )
        lines += [("", f"- {option}") for option in one.get("options", ())]
        if "ready" in one:
            lines.append(("", f"ready {one['ready']}"))
    return lines


def _preparation(one: Document) -> list[tuple[str, str]]:
    words = ", ".join(filter(None, (one["name"], one.get("total", {}).get("display"), one.get("strength"))))
    gone = ", withdrawn" if "withdrawn" in one else ""
    lines = [(f"preparation {one['n']}", f"{words}{gone} [{one['plan']}]")]
    lines += [("", f"{m['amount']['display']} {m['what']}") for m in one["measure"]]
    for part in one["parts"]:
        to = ", ".join(part[key] for key in ("to", "room", "needed_by") if key in part)
        lines.append(("", f"line {part['line']}: {part['asked']}" + (f" ({to})" if to else "")))
        lines += [("", f"  {line}") for line in part.get("sum", ())]
    lines += [("", line) for line in one.get("sum", ())]
    lines.append(("", "; ".join((f"ready {one['ready']}", *(wait["text"] for wait in one["waits"])))))
    return [*lines, *(("caution", words) for words in one["cautions"])]


def _fetched(line: Document) -> str:
    places = [f"{p['place']} ({p['free']} {p['unit']} free)" for p in line.get("places", ())]
    if "made_here" in line:
        places = [f"preparation {line['made_here']}"]
    numbers = ", ".join(map(str, line["preparations"]))
    where = f"; {', '.join(places)}" if places else ""
    short = f"; short: {line['short']}" if "short" in line else ""
    return f"{line['amount']['display']} {line['what']} for {numbers}{where}{short}"
