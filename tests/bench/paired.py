"""Two calls measured in turns, so that a busy machine slows both alike: the ratio counts, never the time.

Processor time where one process works, so that waiting for others does not count; wall time where several share the work.
"""

import gc
import resource
import statistics
from collections.abc import Callable
from dataclasses import dataclass
from time import process_time

Call = Callable[[], object]
Clock = Callable[[], float]


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


def of_children() -> float:
    """Processor seconds of the processes that were started and have ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def paired(baseline: Call, subject: Call, rounds: int, clock: Clock = process_time) -> Paired:
    """Run both once unmeasured, then ``rounds`` times in turns, each first in every other round."""
    baseline(), subject()
    times: tuple[list[float], list[float]] = ([], [])
    for n in range(rounds):
        for which in (0, 1) if n % 2 else (1, 0):
            times[which].append(_seconds((baseline, subject)[which], clock))
    return Paired(tuple(times[0]), tuple(times[1]))


def _seconds(call: Call, clock: Clock) -> float:
    gc.collect()
    start = clock()
    call()
    return clock() - start
