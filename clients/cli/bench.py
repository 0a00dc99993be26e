"""The commands of the bench record: their options, and the call each leads to."""

import argparse
from collections.abc import Callable
from typing import Any

Make = Callable[..., argparse.ArgumentParser]
SIZES = ("large", "medium", "small", "dropper")
FAILURES = {"overshot": "overshot", "spilt": "spilt", "not-dissolved": "not_dissolved", "other": "other_failure"}
_PER_MEASURE = "where the sheet has several things to measure, put its number first: 2=%s"


def add(commands: Any, make: Make) -> None:
    """Add record, standardise, label and sheet to the command line."""
    record = make(commands, "record", "record what was really made", _record,
                  "Give a plan's id, or the request itself in words. What is left out is taken as planned, and said.")  # fmt: skip
    record.add_argument("plan", nargs="*", help="the plan's id, or the request in words")
    record.add_argument("--by", required=True, metavar="WHO", help="initials or staff id")
    record.add_argument("--took", action="append", default=[], metavar="AMOUNT",
                        help="what the balance or pipette showed, such as '3.5610 g'; repeat for several portions; "
                        + _PER_MEASURE % "8.0013 g")  # fmt: skip
    for name, shown, about in (
        ("lot", "LOT", "lot of the bottle"),
        ("assay", "PERCENT", "assay of the lot's certificate, % by mass"),
        ("balance", "NAME", "balance it was weighed on, such as BA"),
        ("ware", "WARE", "pipette or burette, such as '25 mL one-mark pipette'"),
        ("source", "ID", "preparation it was taken from"),
    ):
        record.add_argument(
            f"--{name}", action="append", default=[], metavar=shown, help=f"{about}; {_PER_MEASURE % shown}"
        )
    record.add_argument("--vessel", action="append", default=[], metavar="ML",
                        help="flask it was made up in, mL, with its number if it has one: 100 or 100:7")  # fmt: skip
    record.add_argument("--water", help="which water")
    record.add_argument("--temperature", metavar="DEGC", help="of the solution at the mark")
    record.add_argument("--pH", dest="ph", metavar="PH", help="pH as measured")
    record.add_argument("--deviation", action="append", default=[], metavar="WORDS", help="what was done otherwise")
    record.add_argument("--failed", choices=tuple(FAILURES), help="it came to nothing: how")
    record.add_argument(
        "--correct", metavar="ID", help="correct this preparation: what is given takes the place of what stands"
    )
    record.add_argument("--reason", help="why it is corrected")
    record.add_argument("--json", action="store_true", help="the record as one JSON document")

    titrate = make(commands, "standardise", "standardise a solution from raw titres", _standardise)
    titrate.add_argument("preparation", help="the solution that was titrated")
    titrate.add_argument("--by", required=True, metavar="WHO", help="initials or staff id")
    titrate.add_argument("--against", required=True, metavar="STANDARD", help="such as 'potassium hydrogen phthalate'")
    titrate.add_argument("--run", action="append", default=[], required=True, metavar="TAKEN/TITRE",
                         help="grams of standard (or mL of its solution) and mL of titre: 0.5104/24.62; repeat for each run")  # fmt: skip
    titrate.add_argument(
        "--left-out", action="append", default=[], metavar="RUN=WHY", help="a run that does not count, and why"
    )
    titrate.add_argument("--blank", metavar="ML", help="titre of the blank")
    titrate.add_argument("--indicator-correction", metavar="ML", help="correction for the indicator")
    titrate.add_argument("--indicator", help="end point, where the table has several")
    titrate.add_argument("--assay", metavar="PERCENT", help="of the standard")
    titrate.add_argument("--assay-half-width", metavar="PERCENT", help="how far off the assay may be (default 0.05)")
    titrate.add_argument("--lot", help="lot of the standard")
    titrate.add_argument("--balance", metavar="NAME", help="balance the standard was weighed on")
    titrate.add_argument("--burette", metavar="ML", help="size of the burette")
    titrate.add_argument("--standard-solution", metavar="ID", help="the standard is this preparation, pipetted")
    titrate.add_argument("--standard-strength", metavar="C,U",
                         help="the standard is a solution of C mol/L with expanded uncertainty U: 0.1000,0.0002")  # fmt: skip
    titrate.add_argument(
        "--standard-in-burette", action="store_true", help="the solution was pipetted, the standard in the burette"
    )
    titrate.add_argument("--json", action="store_true", help="the standardisation as one JSON document")

    label = make(commands, "label", "print the label of what was made", _label)
    label.add_argument("id", nargs="+", help="the preparation; with --nominal the plan, or the request in words")
    label.add_argument("--size", choices=SIZES, default="medium", help="2.5 L bottle, 1 L, 250 mL, 30 mL dropper")
    label.add_argument("--nominal", action="store_true", help="a label that says nominal, before anything was weighed")
    label.add_argument("--waste", action="store_true", help="the label of the waste bottle")
    label.add_argument("--copies", type=int, default=1, metavar="N", help="how many")
    label.add_argument("--out", metavar="FILE", help="the PDF to write (default: its name, here)")

    sheet = make(commands, "sheet", "print a bench sheet, or the record of a preparation", _sheet)
    sheet.add_argument("id", nargs="+", help="a plan, a preparation, or the request in words")
    sheet.add_argument("--out", metavar="FILE", help="the PDF to write (default: its name, here)")


def _record(options: argparse.Namespace) -> int:
    from clients.cli.record import record

    return record(options)


def _standardise(options: argparse.Namespace) -> int:
    from clients.cli.standardise import standardise

    return standardise(options)


def _label(options: argparse.Namespace) -> int:
    from clients.cli.label import label

    return label(options)


def _sheet(options: argparse.Namespace) -> int:
    from clients.cli.sheet import sheet

    return sheet(options)
