"""Kill a server at random moments while clients write, and look after each start whether anything is missing."""

import random
import time
from dataclasses import dataclass
from pathlib import Path

from service.settings import Settings, database_url
from service.store.engine import open_engine
from tests.crash import losses
from tests.crash.load import Kept, Load, people
from tests.crash.servers import QuickServer, Server

_LONGEST_LIFE_S = 1.0
_READ_AGAIN = 30  # of what was acknowledged last before a kill; the rows of all of it are looked for at the end
_OF_KILLS_AT_START = 0.1


@dataclass(frozen=True, slots=True)
class Killed:
    """Figures of one run; ``lost`` and ``faults`` must be empty, ``doubles`` 0 and ``log_fault`` None."""

    kills: int
    at_start: int
    kept: Kept
    lost: list[str]
    doubles: int
    entries: int
    log_fault: str | None
    seconds: float

    @property
    def sound(self) -> bool:
        """Whether nothing is missing, doubled or broken."""
        return not self.lost and not self.kept.faults and self.doubles == 0 and self.log_fault is None

    def lines(self) -> list[str]:
        """The figures in words."""
        kept = self.kept
        counts = ", ".join(f"{len(kept.of(kind))} {kind}s" for kind in ("plan", "record", "approval"))  # type: ignore[arg-type]
        return [
            f"kills: {self.kills}, of them while starting: {self.at_start}; {self.seconds:.0f} s",
            f"acknowledged: {len(kept.acknowledged)} ({counts})",
            f"requests without an answer: {kept.unheard}; answers 503: {kept.refused}; keys left claimed: {kept.abandoned}",
            f"lost: {len(self.lost)}; stored twice: {self.doubles}; other faults: {len(kept.faults)}",
            f"audit entries: {self.entries}; chain, after every start: {self.log_fault or 'whole'}",
            *self.lost[:5],
            *kept.faults[:5],
        ]


def run(
    database: str, folder: Path, kills: int, seed: int, clients: int = 4, say: bool = False, quick: bool = False
) -> Killed:
    """``kills`` kills under load and a tenth more while the server starts; clients write all the time."""
    chance = random.Random(seed)
    began = time.monotonic()
    server = (QuickServer if quick else Server)(database, folder)
    engine = open_engine(database_url(database), 30.0)
    keys = people(Settings(database_url(database), server.head_file))
    kept, lost, at_start, seen = Kept(), [], 0, 0
    fault: str | None = None
    try:
        with server, Load(server.port, keys, kept, clients):
            server.start()
            for n in range(kills):
                kept.wait_for(1)
                time.sleep(chance.uniform(0.0, _LONGEST_LIFE_S))
                server.kill()
                if chance.random() < _OF_KILLS_AT_START and n + 1 < kills:
                    server.begin()
                    time.sleep(chance.uniform(0.0, _LONGEST_LIFE_S))
                    server.kill()
                    at_start += 1
                until = len(kept.acknowledged)
                server.start()
                lost += losses.lost_to_readers(server.port, keys, kept.acknowledged[max(seen, until - _READ_AGAIN) : until])
                seen = until
                fault = fault or losses.fault_of_the_log(engine, kept, server.head_file)
                if say and n % 20 == 19:
                    print(f"{n + 1} kills, {until} acknowledged, {len(lost)} lost, {time.monotonic() - began:.0f} s", flush=True)
        lost += losses.lost_rows(engine, kept)
        fault = fault or losses.fault_of_the_log(engine, kept, server.head_file)
        changed = losses.altered(engine)
        if changed is not None:
            lost.append(f"plan {changed} is not the one that was logged")
        extra, length = losses.doubles(engine), losses.entries(engine)
    finally:
        engine.dispose()
    return Killed(kills + at_start, at_start, kept, lost, extra, length, fault, time.monotonic() - began)
