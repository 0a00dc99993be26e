"""Two calls measured in turns, so that a busy machine slows both alike: the ratio counts, never the time."""

import gc
import statistics
from collections.abc import Callable
from dataclasses import dataclass
from time import perf_counter

Call = Callable[[], object]


@dataclass(frozen=True, slots=True)
class Paired:
    """Seconds of every round for baseline and subject; round n of one ran next to round n of the other."""

    baseline: tuple[float, ...]
    subject: tuple[float, ...]

    @property
    def ratios(self) -> list[float]:
        """Subject over baseline of each round, smallest first."""
        return sorted(s / b for s, b in zip(self.subject, self.baseline, strict=True))

    @property
    def ratio(self) -> float:
        """The median of the paired ratios."""
        return statistics.median(self.ratios)

    @property
    def spread(self) -> tuple[float, float]:
        """Between which ratios the middle half of the rounds lies: what the machine's noise does to this figure."""
        ratios = self.ratios
        return ratios[len(ratios) // 4], ratios[-1 - len(ratios) // 4]


def paired(baseline: Call, subject: Call, rounds: int) -> Paired:
    """Run both once unmeasured, then ``rounds`` times in turns, each first in every other round."""
    baseline(), subject()
    times: tuple[list[float], list[float]] = ([], [])
    for n in range(rounds):
        for which in (0, 1) if n % 2 else (1, 0):
            times[which].append(_seconds((baseline, subject)[which]))
    return Paired(tuple(times[0]), tuple(times[1]))


def _seconds(call: Call) -> float:
    gc.collect()
    start = perf_counter()
    call()
    return perf_counter() - start
