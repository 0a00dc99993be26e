"""The table of ratios, as printed and as kept in the documents."""

import os
import platform
import sys
from dataclasses import dataclass
from pathlib import Path

DOCUMENT = Path(__file__).parents[2] / "docs" / "PERFORMANCE.md"
HEAD = ("figure", "held against", "ratio", "middle half", "goal", "")


@dataclass(frozen=True, slots=True)
class Row:
    """One figure: its ratio, between which ratios half the rounds lay, and the goal (``least``: the goal is a minimum)."""

    figure: str
    against: str
    ratio: float
    spread: tuple[float, float] | None
    goal: float
    least: bool = False

    @property
    def reached(self) -> bool:
        """Whether the goal is met in this run."""
        return self.ratio >= self.goal if self.least else self.ratio <= self.goal

    def cells(self) -> tuple[str, ...]:
        """The row as printed."""
        between = f"{self.spread[0]:.3g} to {self.spread[1]:.3g}" if self.spread else ""
        limit = f"{'at least' if self.least else 'at most'} {self.goal:g}"
        return self.figure, self.against, f"{self.ratio:.3g}", between, limit, "reached" if self.reached else "missed"


def markdown(rows: list[Row]) -> str:
    """The rows as a table whose columns line up in plain text too."""
    cells = [HEAD, *(row.cells() for row in rows)]
    widths = [max(len(line[at]) for line in cells) for at in range(len(HEAD))]
    shown = ["| " + " | ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)) + " |" for line in cells]
    return "\n".join([shown[0], "|" + "|".join("-" * (width + 2) for width in widths) + "|", *shown[1:]])


def document(rows: list[Row], parts: dict[str, float], growth: list[tuple[int, float]], rounds: int) -> str:
    """The whole page. Numbers are of one run; the text says what they can and cannot tell."""
    share, load = sum(parts.values()), os.getloadavg()[1]
    where = ", ".join(f"{name} {100 * cost / share:.0f} %" for name, cost in parts.items())
    least, most = min(ratio for _, ratio in growth), max(ratio for _, ratio in growth)
    grown = ", ".join(f"{size:,} lines {ratio:.2f}" for size, ratio in growth)
    return f"""# What it costs

Written by `make bench`; do not edit. Every figure is the median of {rounds} paired rounds in which the thing measured and
what it is held against ran in turns, counted in processor time (wall time for the two processes), so a busy machine slows
both. "Middle half" is where half of the rounds lay: differences inside it are noise. Times are not given: they say more
about the machine than about the program.

{markdown(rows)}

- A figure marked "missed" is a goal that is not reached; the goals are those the prototype of a planner with 30 rules suggested.
- The lines: ordinary requests for a weighed solid, each with its own volume and strength. Every mass planned directly was
  compared with the script's before anything was measured.
- "pint + periodictable" is the script a chemist would write: quantities from a number and a unit's name, the formula read
  each time. "Everything kept" holds the unit objects and molar masses: as quick as pint gets, and it checks nothing.
- Where the time of a plan goes: {where}.
- Cost of a line in a batch, relative to the smallest batch: {grown} (1 throughout is linear; {most / least - 1:.0%} between them here).
- While it ran the load was {load:.1f} on {os.cpu_count()} cores. Two processes cannot be twice as quick on cores that others use.
- Python {platform.python_version()} ({sys.implementation.name}), {platform.machine()}.
"""
