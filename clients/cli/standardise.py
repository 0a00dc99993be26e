"""``prepwright standardise``: raw titres in, the judged strength out."""

import argparse
from typing import Any

from clients.cli.targets import write_json, write_lines
from clients.errors import AskError
from clients.transport import bench

Document = dict[str, Any]
NOT_ACCEPTED = 5


def standardise(options: argparse.Namespace) -> int:
    """Store the standardisation and print it; 0 when it is accepted, 5 when not."""
    with bench(options.server) as at:
        document = at.standardise(options.preparation, body_of(options))
    if options.json:
        write_json(document)
    else:
        write_lines(*_said(document))
    return 0 if document["accepted"] else NOT_ACCEPTED


def body_of(options: argparse.Namespace) -> Document:
    """The body of the request. Raises AskError for an option that cannot be read."""
    solution = bool(options.standard_solution or options.standard_strength)
    runs: list[Document] = []
    for typed in options.run:
        taken, slash, titre = typed.partition("/")
        if not slash:
            raise AskError(
                f"--run {typed!r} must be what was taken, a slash, and the titre.", ("Such as 0.5104/24.62.",)
            )
        runs.append({"volume_mL" if solution else "mass_g": taken.strip(), "titre_mL": titre.strip()})
    for typed in options.left_out:
        number, equals, why = typed.partition("=")
        if not equals or not number.strip().isdigit() or not 1 <= int(number) <= len(runs):
            raise AskError(
                f"--left-out {typed!r} must be the number of a run and why.", ("Such as 1=rough titration.",)
            )
        runs[int(number) - 1]["left_out"] = why
    body: Document = {"by": options.by, "against": options.against, "runs": runs}
    given = (
        ("blank_mL", options.blank),
        ("indicator_correction_mL", options.indicator_correction),
        ("indicator", options.indicator),
        ("lot", options.lot),
        ("balance", options.balance),
        ("burette_mL", options.burette),
    )
    body |= {name: value for name, value in given if value}
    if options.assay:
        body["assay"] = {"value": options.assay, "half_width": options.assay_half_width or "0.05"}
    if options.standard_solution:
        body["standard_solution"] = {"preparation": options.standard_solution}
    elif options.standard_strength:
        strength, _, spread = options.standard_strength.partition(",")
        body["standard_solution"] = {"mol_L": strength.strip(), **({"U_mol_L": spread.strip()} if spread else {})}
    if options.standard_in_burette:
        body["in_burette"] = "standard"
    return body


def _said(document: Document) -> tuple[str, list[tuple[str, str]]]:
    spread = document["uncertainty"]
    lines = [("run", line) for line in document["working"][0]["lines"]]
    lines += [
        ("strength", f"{document['mean']['display']} ± {spread['U']['display']} (k = {spread['k']:g})"),
        ("nominal", f"{document['nominal']['display']}; factor {document['factor']:.4f}"),
    ]
    lines += [
        ("met" if c["met"] else "not met", f"{c['what']}: {c['found']}, needed {c['limit']}")
        for c in document["checks"]
    ]
    lines.append(("largest doubt", f"{document['largest_cause']['source']}. {document['largest_cause']['cure']}"))
    lines.append(("next due", f"{document['next_due']['date']} ({document['next_due']['basis']})"))
    lines += [
        ("revalued", f"{r['id']}: {r['was']} to {r['now']}" if "now" in r else f"{r['id']}: not, {r['not_revalued']}")
        for r in document.get("revalued", ())
    ]
    lines += [("taken as", text) for text in document.get("assumptions", ())]
    return document["verdict"], lines
