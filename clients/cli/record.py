"""``prepwright record``: what was really made, or how it failed; corrections."""

import argparse
from typing import Any

from clients.cli.bench import FAILURES
from clients.cli.targets import plan_id, write_json, write_lines
from clients.errors import AskError
from clients.transport import bench

Document = dict[str, Any]


def record(options: argparse.Namespace) -> int:
    """Store the record and print it; the exit code."""
    with bench(options.server) as at:
        if options.correct:
            if not options.reason:
                raise AskError("A correction says why: --reason.")
            before = at.preparation(options.correct)["recorded"]
            body = {
                "by": options.by,
                "reason": options.reason,
                "record": {**before, **_body(options, before["used"]), "by": before["by"]},
            }
            document = at.correct(options.correct, body)
        else:
            document = at.record(plan_id(at, options.plan), {"used": [], **_body(options, []), "by": options.by})
    if options.json:
        write_json(document)
    else:
        write_lines(*said(document))
    return 0


def _body(options: argparse.Namespace, before: list[Document]) -> Document:
    body: Document = {}
    used = _used(options, before)
    if used:
        body["used"] = used
    for name, value in (
        ("water", options.water),
        ("temperature_degC", options.temperature),
        ("measured_pH", options.ph),
    ):
        if value:
            body[name] = value
    if options.vessel:
        body["vessels"] = [_vessel(typed) for typed in options.vessel]
    if options.deviation:
        body["deviations"] = options.deviation
    if options.failed:
        body["outcome"] = FAILURES[options.failed]
    return body


def _vessel(typed: str) -> Document:
    size, _, mark = typed.partition(":")
    found = {"nominal_mL": size.strip().removesuffix("mL").strip()}
    return found | {"mark": mark} if mark else found


def _used(options: argparse.Namespace, before: list[Document]) -> list[Document]:
    """One entry for each number of the sheet; what is not given anew stays as it was before."""
    found: dict[str, Document] = {str(u.get("measure", 1)): dict(u) for u in before}
    numbered = any("=" in typed for typed in options.took) or any("measure" in u for u in before)
    anew: set[str] = set()
    for typed in options.took:
        number, amount = _numbered(typed)
        value, _, unit = amount.strip().partition(" ")
        if not unit:
            raise AskError(f"{typed!r} lacks its unit.", ("Write it as '3.5610 g' or '25.00 mL'.",))
        one = found.setdefault(number, {"readings": []})
        if number not in anew:
            one["readings"] = []
            anew.add(number)
        one["readings"] = [*one["readings"], value]
        one["unit"] = unit
    for name in ("lot", "assay", "balance", "ware", "source"):
        for typed in getattr(options, name):
            number, value = _numbered(typed)
            if number not in found:
                raise AskError(f"--{name} {typed}: nothing was taken of {number}.", ("Give --took first.",))
            found[number][name] = {"value": value} if name == "assay" else value
    if numbered:
        for number, one in found.items():
            one["measure"] = int(number)
    changed = bool(options.took) or any(getattr(options, n) for n in ("lot", "assay", "balance", "ware", "source"))
    return list(found.values()) if changed else []


def _numbered(typed: str) -> tuple[str, str]:
    number, equals, rest = typed.partition("=")
    return (number.strip(), rest) if equals and number.strip().isdigit() else ("1", typed)


def said(document: Document) -> tuple[str, list[tuple[str, str]]]:
    """The record in words: a title and labelled lines."""
    made, failed = document.get("made"), document.get("failed")
    lines = [("record", f"{document['id']}, entry {document['entry']}, by {document['by']}")]
    for used in document["used"]:
        lot = f", lot {used['lot']}" if "lot" in used else ""
        lines.append(
            ("took", f"{used['amount']['display']} of {used['what']}{lot} (planned {used['planned']['display']})")
        )
    title = "Recorded"
    if failed:
        title = f"Failed: {failed['name']}"
        lines += [
            ("why", failed["reason"]),
            ("discard", "; ".join(w["advice"] for w in failed["discard"])),
            ("then", failed["restart"]),
        ]
    elif made:
        title, more = _strength(made)
        lines += more
        use_by = document.get("use_by", {})
        lines.append(
            ("use by", f"{use_by['date']} ({use_by['basis']})" if "date" in use_by else use_by.get("basis", ""))
        )
    lines += [("caution", text) for text in document.get("cautions", ())]
    lines += [("taken as", text) for text in document.get("assumptions", ())]
    if document["entry"] > 1:
        for entry in document["chain"]:
            words = [entry["kind"], entry.get("concentration", ""), entry.get("why", "")]
            lines.append((f"entry {entry['entry']}", ", ".join(filter(None, words))))
    return title, lines


def _strength(made: Document) -> tuple[str, list[tuple[str, str]]]:
    if "components" in made:
        parts = [(c["name"], c.get("concentration", {}).get("display", "not worked out")) for c in made["components"]]
        return made["name"], [("holds", f"{name} {strength}") for name, strength in parts]
    if "concentration" not in made:
        return made["name"], [("strength", "not worked out: it is asked by mass but made up to a volume")]
    spread = made["uncertainty"]
    lines = [
        ("strength", f"{made['concentration']['display']} ± {spread['U']['display']} (k = {spread['k']:g})"),
        ("asked for", f"{made['nominal']['display']}; difference {made['difference']['display']}"),
    ]
    if "keeps_request" in made:
        lines.append(
            (
                "figures",
                ("hold. " if made["keeps_request"]["holds"] else "do not hold. ") + made["keeps_request"]["text"],
            )
        )
    lines.append(("largest doubt", f"{made['largest_cause']['source']}. {made['largest_cause']['cure']}"))
    if "nominal_until_standardised" in made:
        lines.append(("nominal", made["nominal_until_standardised"]))
    return f"{made['name']}, {made['concentration']['display']}", lines
