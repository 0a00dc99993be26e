"""What ``prepwright shelf`` asks of the service, and how the answers are said."""

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from clients.api import Bench
from clients.cli.targets import write_json, write_lines
from clients.errors import AskError
from clients.transport import bench

Document = dict[str, Any]
Lines = list[tuple[str, str]]
_EXAMPLE = Path(__file__).parent.parent / "data" / "example_shelf.csv"
_EXAMPLE_IDS = "AVC0000"  # what the ids of the invented bottles begin with
_NOT_USABLE = 1
_PAGE = 200


def shelf(options: argparse.Namespace) -> int:
    """Do what is asked and print it; the exit code."""
    with bench(options.server) as at:
        return _CALLS[options.what](at, options)


def _list(at: Bench, options: argparse.Namespace) -> int:
    found = _all(at.shelf, _wanted(options), "bottles")
    return _answer(
        options,
        {"bottles": found},
        f"{len(found)} bottle{'s' * (len(found) != 1)}",
        [(b["id"], _bottle(b)) for b in found],
    )


def _show(at: Bench, options: argparse.Namespace) -> int:
    bottle, family = at.bottle(options.id), at.family(options.id)
    lines = [(name.replace("_", " "), str(bottle[key])) for name, key in (
        ("preparation", "preparation"), ("lot", "lot"), ("assay, %", "assay_pct"), ("density, g/mL", "density_g_mL"),
        ("supplier", "supplier"), ("opened", "opened"), ("expiry", "expiry"), ("place", "place"),
    ) if key in bottle]  # fmt: skip
    lines.append(("held", f"{bottle['amount']} {bottle['unit']}, put up {bottle['at'][:10]} by {bottle['by']}"))
    lines.append(("left", f"{bottle['left']} {bottle['unit']}, of which {bottle['free']} {bottle['unit']} free"))
    lines.append(("state", bottle["state"] + (f": {bottle['why']}" if "why" in bottle else "")))
    lines += [(f"event {e['number']}", _event(e, bottle["unit"])) for e in bottle["history"]]
    lines += [(r["id"], _relative(r)) for r in family["below"]]
    return _answer(options, {**bottle, "below": family["below"]}, f"{bottle['id']}  {_name(bottle)}", lines)


def _for(at: Bench, options: argparse.Namespace) -> int:
    found = at.shelf_for(options.id)
    lines: Lines = []
    for one in found.get("ready", []):
        enough = "" if one.get("enough", True) else ", not enough for all of it"
        last = f", last day {one['expiry']}" if "expiry" in one else ""
        what = f"{one['strength']} {one['name']}, {one['place']}, {one['free']} mL free"
        lines.append(("made already", f"{what}{enough}{last} [{one['bottle']}]"))
    for line in found.get("fetch", []):
        lines.append(("fetch", f"{line['amount']['display']} {line['what']}" + (f": {line['short']}" if "short" in line else "")))
        lines += _places(line.get("places"))
    for form in found.get("forms", []):
        lines.append(("form", form["label"]))
        lines += _places(form["places"])
    return _answer(options, found, f"The shelf for {found['plan']}", lines)


def _places(held: list[Document] | None) -> Lines:
    if held is None:
        return [("", "not looked for: no one substance in one form")]
    if not held:
        return [("", "none on the shelf that may be used today")]
    lots = [f", lot {one['lot']}" if "lot" in one else "" for one in held]
    return [("", f"{one['place']}, {one['free']} {one['unit']} free{lot} [{one['bottle']}]") for one, lot in zip(held, lots, strict=True)]


def _add(at: Bench, options: argparse.Namespace) -> int:
    value, unit = _with_unit(options.amount, "500 g' or '2500 mL")
    body: Document = {"by": options.by, "amount": value, "unit": unit, "place": options.place}
    if options.name:
        body["name"] = " ".join(options.name)
    if options.strength:
        strength, of = _with_unit(options.strength, "0.1 mol/L' or '37 % w/w")
        body["strength"] = {"value": strength, "unit": of}
    given = {"form": options.form, "preparation": options.preparation, "lot": options.lot, "assay_pct": options.assay,
             "supplier": options.supplier,
             "density_g_mL": options.density, "opened": options.opened, "expiry": options.expiry}  # fmt: skip
    found = at.put_up(body | {name: value for name, value in given.items() if value})
    return _answer(options, found, f"{found['id']} is on the shelf", [(found["id"], _bottle(found))])


def _happen(at: Bench, options: argparse.Namespace) -> int:
    body: Document = {"by": options.by, "kind": options.kind}
    if options.amount:
        body["amount"], body["unit"] = _with_unit(options.amount, "24.97 g")
    given = {"reason": options.reason, "to": options.to, "plan": options.plan, "reservation": options.reservation}
    found = at.happen(options.id, body | {name: value for name, value in given.items() if value is not None})
    reached = [(r["id"], _relative(r)) for r in found["reached"]]
    return _answer(options, found, f"{found['id']}: {found['event']} is in the record", reached)


def _import(at: Bench, options: argparse.Namespace) -> int:
    try:
        table = sys.stdin.buffer.read() if options.file == "-" else Path(options.file).read_bytes()
    except OSError as error:
        raise AskError(f"{options.file} cannot be read: {error.strerror}.") from None
    return _brought(options, _sent(at, table, options.confirm, options.by))


def _sent(at: Bench, table: bytes, confirm: bool, by: str | None = None) -> Document:
    """What the table gives; confirmed only where no row has a fault."""
    tried = at.import_shelf(table, False, by)
    return at.import_shelf(table, True, by) if confirm and not tried["errors"] else tried


def _brought(options: argparse.Namespace, found: Document) -> int:
    if options.json:
        write_json(found)
        return _NOT_USABLE if found["errors"] else 0
    if found["errors"]:
        faults = tuple(f"row {e['row']}, {e['column'] or 'the whole'}: {e['message']}" for e in found["errors"])
        rows = len({e["row"] for e in found["errors"]})
        raise AskError(f"{rows} row{'s' * (rows > 1)} cannot be used; nothing was put on the shelf.", faults)
    new = sum("unchanged" not in row for row in found["rows"])
    same = len(found["rows"]) - new
    title = (
        f"{found['saved']} put on the shelf"
        if found["confirmed"]
        else f"{new} would be put on the shelf; --confirm does it"
    )
    lines = [(row.get("bottle", "new"), _row(row)) for row in found["rows"] if "unchanged" not in row or "notes" in row]
    write_lines(title + (f"; {same} on it already" if same else ""), lines)
    return 0


def _export(at: Bench, options: argparse.Namespace) -> int:
    table = at.export_shelf(_wanted(options))
    if not options.file:
        sys.stdout.buffer.write(table)
        return 0
    try:
        Path(options.file).write_bytes(table)
    except OSError as error:
        raise AskError(f"{options.file} cannot be written: {error.strerror}.") from None
    print(f"written: {options.file}")
    return 0


def _expiring(at: Bench, options: argparse.Namespace) -> int:
    found = _all(at.expiring, {"within_days": options.within}, "expiring")
    lines = [(line["expiry"], _last_day(line)) for line in found]
    return _answer(
        options, {"expiring": found}, f"{len(found)} at or past the last day in {options.within} days", lines
    )


def _example(at: Bench, options: argparse.Namespace) -> int:
    others = [b["id"] for b in at.shelf({"limit": _PAGE})["bottles"] if not b["id"].startswith(_EXAMPLE_IDS)]
    if others and not options.beside:
        raise AskError("There are other bottles on this shelf, and these are invented: plans might reach for them.",
                       ("--beside puts them up all the same.",))  # fmt: skip
    code = _brought(options, _sent(at, _EXAMPLE.read_bytes(), True))
    if not options.json:
        print(f"Invented, every one: their ids begin with {_EXAMPLE_IDS}. Alder Vale College does not exist.")
    return code


_CALLS: dict[str, Callable[[Bench, argparse.Namespace], int]] = {
    "list": _list, "show": _show, "add": _add, "event": _happen, "import": _import, "export": _export,
    "expiring": _expiring, "example": _example, "for": _for,
}  # fmt: skip


def _wanted(options: argparse.Namespace) -> Document:
    given = {"substance": options.substance, "place": options.place, "expiring_within_days": options.expiring,
             "low_pct": options.low, "state": options.state}  # fmt: skip
    return {name: value for name, value in given.items() if value is not None}


def _all(call: Callable[[Document], Document], wanted: Document, name: str) -> list[Document]:
    """Every page of a list."""
    found: list[Document] = []
    after: Document = {}
    while True:
        page = call({**wanted, "limit": _PAGE, **after})
        found += page[name]
        if "next" not in page:
            return found
        after = {"after": page["next"]}


def _answer(options: argparse.Namespace, document: Document, title: str, lines: Lines) -> int:
    if options.json:
        write_json(document)
    else:
        write_lines(title, lines)
    return 0


def _with_unit(typed: str, such_as: str) -> tuple[str, str]:
    value, _, unit = typed.strip().partition(" ")
    if not unit.strip():
        raise AskError(f"{typed!r} lacks its unit.", (f"Write it as '{such_as}'.",))
    return value, unit.strip()


def _name(bottle: Document) -> str:
    strength = bottle.get("strength")
    return f"{bottle['name']} {strength['value']} {strength['unit']}" if strength else str(bottle["name"])


def _bottle(bottle: Document) -> str:
    parts = [_name(bottle), f"{bottle['left']} of {bottle['amount']} {bottle['unit']}"]
    if bottle["free"] != bottle["left"]:
        parts.append(f"{bottle['free']} {bottle['unit']} free")
    parts += [
        f"{word}{bottle[key]}" for word, key in (("lot ", "lot"), ("", "place"), ("expiry ", "expiry")) if key in bottle
    ]
    if bottle["state"] != "in use":
        parts.append(bottle["state"].upper() + (f": {bottle['why']}" if "why" in bottle else ""))
    return ", ".join(parts)


def _row(row: Document) -> str:
    parts = [f"row {row['row']}: {_name(row)}", f"{row['left']} of {row['amount']} {row['unit']}", row["place"]]
    if row["state"] != "in use":
        parts.append(row["state"].upper())
    return ", ".join(parts) + "".join(f". Note: {note}" for note in row.get("notes", ()))


def _event(event: Document, unit: str) -> str:
    parts = [f"{event['at'][:10]} {event['kind']}", *([f"{event['amount']} {unit}"] if "amount" in event else [])]
    parts += [f"{word}{event[key]}" for word, key in (
        ("to ", "to"), ("plan ", "plan"), ("for preparation ", "preparation"), ("reservation ", "reservation"), ("", "reason"),
    ) if key in event]  # fmt: skip
    return ", ".join([*parts, f"by {event['by']}"])


def _relative(relative: Document) -> str:
    held = ", QUARANTINED" if relative["quarantined"] else ""
    return f"{relative['kind']} from {relative['source']}: {relative['name']}{held}"


def _last_day(line: Document) -> str:
    days = line["days"]
    when = "today is its last day" if days == 0 else f"in {days} days" if days > 0 else f"{-days} days past"
    parts = [
        f"{when}: {line['kind']} {line['id']}",
        _name(line),
        *([line["concentration"]] if "concentration" in line else []),
    ]
    parts += [f"{word}{line[key]}" for word, key in (("lot ", "lot"), ("", "place")) if key in line]
    if "left" in line:
        parts.append(f"{line['left']} {line['unit']} left")
    if line["state"] == "quarantined":
        parts.append("QUARANTINED")
    return ", ".join(parts)
