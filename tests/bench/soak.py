"""Many hostile and mutated texts through ``answer`` in one process: ``python -m tests.bench.soak --texts 200000``.

Reports faults, rules that crashed, the slowest replies and how memory grew. Not part of the tests: it takes minutes.
Every text is a known one mutated by a seeded generator, so a find is repeated by the same ``--seed``.
"""

import argparse
import gc
import json
import random
import resource
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from time import perf_counter, process_time

import orjson

from service.bench import default_bench
from service.conversations.state import State, from_json, to_json
from service.conversations.turn import turn
from service.pipeline import Reply, answer

CASES = Path(__file__).parents[1] / "cases"
PIECES = (
    "0", "-5", "1e400", "1/0", "٣", "½", "²", "0.5", "1,5", "1.000,5", "9**9**9", "inf", "nan", "µ", "Ω", "°C", "%", "% w/w", "% v/v",
    "mL", "L", "M", "m", "N", "mol/kg", "ppm", "g", "kg", "vol", "X", "pH 7", "from", "of", "in", "to", "and", "with", "for 24 students",
    "conc", "anhydrous", "pentahydrate", "(", ")", "[", "]", ".", "·", ":", ";", "\n", "\t", "\x00", "\u200b", "\u202e", "'", '"', "\\",
    "<script>", "'; drop table plans; --", "{{7*7}}", "../../etc", "$(id)", "💧", "CuSO4.5H2O", "H2O", "Fe(NH4)2(SO4)2.6H2O", "((((((((",
    "sodium chloride", "hydrochloric acid", "water", "ethanol", "piranha", "in a 250 mL conical flask", "make it 500 mL", "how much",
)  # fmt: skip


def known() -> list[str]:
    """The texts of every case and the messages of every dialogue."""
    lines = (line for file in sorted(CASES.glob("*.jsonl")) for line in file.read_text(encoding="utf-8").splitlines())
    cases = [json.loads(line) for line in lines]
    messages = [message["say"] for case in cases for message in case.get("messages", ())]
    return [case["text"] for case in cases if isinstance(case.get("text"), str)] + messages


def _cut(text: str, chance: random.Random) -> str:
    at = chance.randrange(len(text) + 1)
    return text[:at] + text[at + chance.randrange(1, 6) :]


def _add(text: str, chance: random.Random) -> str:
    at = chance.randrange(len(text) + 1)
    return f"{text[:at]}{chance.choice(('', ' '))}{chance.choice(PIECES)}{chance.choice(('', ' '))}{text[at:]}"


def _swap(text: str, chance: random.Random) -> str:
    words = text.split()
    if len(words) > 1:
        a, b = chance.randrange(len(words)), chance.randrange(len(words))
        words[a], words[b] = words[b], words[a]
    return " ".join(words)


def _digit(text: str, chance: random.Random) -> str:
    return "".join(str(chance.randrange(10)) if c.isdigit() and chance.random() < 0.4 else c for c in text)


def _repeat(text: str, chance: random.Random) -> str:
    return text * chance.randrange(2, 12)


def _noise(text: str, chance: random.Random) -> str:
    return "".join(chr(chance.choice((chance.randrange(32, 127), chance.randrange(0x80, 0x2FFF)))) for _ in range(len(text)))


_MUTATIONS: tuple[tuple[Callable[[str, random.Random], str], int], ...] = (
    (_cut, 6), (_add, 8), (_swap, 5), (_digit, 8), (_repeat, 1), (_noise, 1),
)  # fmt: skip


def mutated(seed: int) -> Iterator[str]:
    """Endless mutated texts, one to four changes each; half of the second parts come from another text."""
    chance, texts = random.Random(seed), known()
    changes, weights = [change for change, _ in _MUTATIONS], [weight for _, weight in _MUTATIONS]
    while True:
        text = chance.choice(texts)
        if chance.random() < 0.3:
            other = chance.choice(texts)
            text = text[: chance.randrange(len(text) + 1)] + other[chance.randrange(len(other) + 1) :]
        for change in chance.choices(changes, weights, k=chance.randrange(1, 5)):
            text = change(text, chance)
        yield text


class _Talk:
    """Answers each text as the next message of a conversation; a new one begins after ten."""

    def __init__(self) -> None:
        self._bench, self._state, self._said = default_bench(), State(), 0

    def __call__(self, text: str) -> Reply:
        taken = turn(self._state, text, self._bench)
        self._said += 1
        self._state = from_json(to_json(taken.state)) if self._said % 10 else State()
        return taken.reply


def _mebibytes() -> float:
    gc.collect()
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * resource.getpagesize() / 2**20


def main() -> None:
    """Run the soak and print what was found; exit code 1 for a fault, a crashed rule or a reply above ``--slow``."""
    options = argparse.ArgumentParser(prog="python -m tests.bench.soak", description=__doc__)
    options.add_argument("--texts", type=int, default=20_000)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--slow", type=float, default=50.0, help="processor milliseconds a reply may take (default 50)")
    options.add_argument("--talk", action="store_true", help="take the texts as the messages of conversations, ten each")
    asked = options.parse_args()
    reply_to = _Talk() if asked.talk else answer
    outcomes: Counter[str] = Counter()
    faults: Counter[str] = Counter()
    crashed: dict[str, str] = {}
    slowest: list[tuple[float, str]] = []
    start, settled = perf_counter(), 0.0
    for n, text in zip(range(asked.texts), mutated(asked.seed), strict=False):
        before = process_time()
        try:
            document = reply_to(text).document
            orjson.dumps(document)
        except Exception as fault:
            faults[f"{type(fault).__name__}: {fault}"[:120]] += 1
            if faults.total() <= 10:
                print(f"FAULT {type(fault).__name__}: {fault}\n      {text!r}", flush=True)
            continue
        took = 1000 * (process_time() - before)
        outcomes[document["outcome"]] += 1
        for finding in document.get("findings", ()):
            if "failed to run" in finding["message"] and finding["rule"] not in crashed:
                crashed[finding["rule"]] = text
                print(f"CRASHED {finding['rule']}: {finding['message']}\n      {text!r}", flush=True)
        if n > 1000 and (len(slowest) < 5 or took > slowest[-1][0]):
            slowest = sorted([*slowest, (took, text)], reverse=True)[:5]
        if n == asked.texts // 10:
            settled = _mebibytes()
    grown = _mebibytes()
    print(f"{asked.texts:,} texts in {perf_counter() - start:.0f} s: {dict(outcomes)}")
    print(f"faults: {sum(faults.values())} {dict(faults)}; rules that crashed: {sorted(crashed)}")
    print(f"memory: {settled:.1f} MiB after a tenth, {grown:.1f} MiB at the end ({100 * (grown / settled - 1):+.1f} %)")
    for took, text in slowest:
        print(f"slowest: {took:.1f} ms {text[:150]!r}")
    raise SystemExit(1 if faults or crashed or (slowest and slowest[0][0] > asked.slow) else 0)


if __name__ == "__main__":
    main()
