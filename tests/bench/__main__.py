"""Measure, print one table, and with ``--write`` put it into the documents."""

import argparse

from tests.bench import costs, scripts, starts
from tests.bench.table import DOCUMENT, Row, document, markdown


def main() -> None:
    """Run every comparison. ``--rounds`` trades time for steadiness; goals are printed, never enforced here."""
    options = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    options.add_argument("--rounds", type=int, default=15, help="paired rounds of each comparison (default 15)")
    options.add_argument("--lines", type=int, default=2000, help="lines of the bulk comparison (default 2000)")
    options.add_argument("--write", action="store_true", help=f"write {DOCUMENT.name} in the documents")
    options.add_argument("--no-starts", action="store_true", help="leave out the starting of processes")
    asked = options.parse_args()
    rounds = asked.rounds
    reading = costs.reading(rounds)
    natural = costs.planning(scripts.natural, rounds)
    attributes = costs.planning(scripts.by_attributes, rounds)
    kept = costs.planning(scripts.kept, rounds)
    bulk, two_cores = costs.bulk(asked.lines, max(3, rounds // 4))
    plan = "full checked plan: text to reply bytes"
    rows = [
        Row("reading a line", "one pattern that only cuts it", reading.ratio, reading.spread, 15),
        Row(plan, "pint + periodictable, same mass", natural.ratio, natural.spread, 0.5),
        Row(plan, "the same, units as attributes", attributes.ratio, attributes.spread, 0.5),
        Row(plan, "pint with everything kept", kept.ratio, kept.spread, 8),
        Row(f"bulk, {asked.lines:,} lines, one core", "pint + periodictable, same masses", bulk.ratio, bulk.spread, 0.35),
        Row("bulk, two processes", "one process (times as quick)", two_cores, None, 1.7, least=True),
    ]
    if not asked.no_starts:
        ask, everything = starts.ask(rounds), starts.everything(max(3, rounds // 4))
        rows.append(Row("prepwright ask, in process", "bare interpreter", ask.ratio, ask.spread, 20))
        share = ask.ratio / everything.ratio
        rows.append(Row("the same", "importing everything the service needs", share, None, 1 / 3))
    parts, growth = costs.parts(max(3, rounds // 3)), costs.growth(2)
    print(markdown(rows))
    print("us a line:", ", ".join(f"{name} {cost:.0f}" for name, cost in parts.items()))
    print("growth:", ", ".join(f"{size:,} lines {ratio:.2f}" for size, ratio in growth))
    if asked.write:
        DOCUMENT.parent.mkdir(exist_ok=True)
        DOCUMENT.write_text(document(rows, parts, growth, rounds), encoding="utf-8")


if __name__ == "__main__":
    main()
