"""Measure, print one table, and with ``--write`` put it into the documents."""

import argparse

from tests.bench import costs, scripts, served, starts, stored
from tests.bench.table import DOCUMENT, Row, document, markdown


def main() -> None:
    """Run every comparison. ``--rounds`` trades time for steadiness; goals are printed, never enforced here."""
    options = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    options.add_argument("--rounds", type=int, default=15, help="paired rounds of each comparison (default 15)")
    options.add_argument("--lines", type=int, default=2000, help="lines of the bulk comparison (default 2000)")
    options.add_argument("--write", action="store_true", help=f"write {DOCUMENT.name} in the documents")
    options.add_argument("--no-starts", action="store_true", help="leave out the starting of processes")
    options.add_argument("--no-store", action="store_true", help="leave out serving, the store and the long log")
    options.add_argument("--log", type=int, default=1_000_000, help="entries of the long log (default 1,000,000)")
    options.add_argument("--plans", type=int, default=100_000, help="plans of the memory figure (default 100,000)")
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
    if not asked.no_store:
        rows += _store(rounds, asked.log, asked.plans)
    parts, growth = costs.parts(max(3, rounds // 3)), costs.growth(2)
    print(markdown(rows))
    print("us a line:", ", ".join(f"{name} {cost:.0f}" for name, cost in parts.items()))
    print("growth:", ", ".join(f"{size:,} lines {ratio:.2f}" for size, ratio in growth))
    if asked.write:
        DOCUMENT.parent.mkdir(exist_ok=True)
        DOCUMENT.write_text(document(rows, parts, growth, rounds), encoding="utf-8")


def _store(rounds: int, entries: int, plans: int) -> list[Row]:
    """Serving, writing, searching and checking; and what a worker keeps in memory."""
    few = max(3, rounds // 3)
    http, written = served.serving(few), stored.durable(few)
    rows = [
        Row("POST /v1/plans, 16 clients, not stored", "FastAPI no-op, same server", *http.unstored, 0.2, least=True),
        Row("POST /v1/plans, 16 clients, stored", "FastAPI no-op, same server", *http.stored, 0.15, least=True),
        Row("p99 at half of the capacity", "p50", http.tail, None, 3),
        Row("stored plans, groups of 16", "single appends, each flushed (times as quick)", 1 / written.ratio,
            (1 / written.spread[1], 1 / written.spread[0]), 3, least=True),
    ]  # fmt: skip
    with stored.long_log(entries) as (engine, path):
        page, which = stored.pages(engine)
        checked = stored.verification(engine, path, few)
    rows += [
        Row(f"slowest search page of {entries:,} entries ({which})", "full scan", page, None, 0.01),
        Row("checking the whole log", "reading and hashing it", checked.ratio, checked.spread, 2),
        Row(f"memory after {plans:,} plans", "after 1,000", stored.growth_of_memory(plans), None, 1.05),
    ]
    return rows


if __name__ == "__main__":
    main()
