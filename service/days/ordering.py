"""The order of work: what is taken from another comes after it, and of what is free to begin the most dangerous first. Pure.

That the most dangerous is made first, while nobody is tired, is common practice, no source.
"""

from collections.abc import Sequence
from math import isclose
from typing import Any

from service.days.facts import Facts

Document = dict[str, Any]
_DANGER = ("no hazard class at its strength", "hazard class at its strength", "not classified here", "danger")


def sources(facts: Sequence[Facts]) -> list[list[tuple[int, float, str]]]:
    """For each, which of the others its stocks are, how many mL of each are taken, and what the card calls it."""
    found = []
    for place, one in enumerate(facts):
        taken = []
        for slug, strength, volume, what in one.takes:
            made = [
                n for n, other in enumerate(facts)
                if n != place and other.makes is not None and other.makes[0] == slug
                and isclose(other.makes[1], strength, rel_tol=1e-6)
            ]  # fmt: skip
            if made:
                taken.append((made[0], volume, what))
        found.append(taken)
    return found


def order_of_work(facts: Sequence[Facts], names: Sequence[str]) -> list[int]:
    """The places in the order they are made."""
    after = [{n for n, _, _ in taken} for taken in sources(facts)]
    left: list[int] = list(range(len(facts)))
    done: list[int] = []
    while left:
        free = [n for n in left if after[n] <= set(done)] or left  # a circle of stocks is not made by strength alone
        first = min(free, key=lambda n: (-_rank(facts[n]), names[n].lower(), n))
        left.remove(first)
        done.append(first)
    return done


def _rank(facts: Facts) -> int:
    """What needs the fume cupboard first, then what is dangerous as a solution or to weigh."""
    return 4 if facts.fume_cupboard else max(facts.danger, 3 if facts.handled else 0)


def because(facts: Facts, after: list[int], before: list[int]) -> str:
    """Why a preparation stands where it does; ``after`` and ``before`` are numbers of others."""
    said = [
        "fume cupboard; " if facts.fume_cupboard else "",
        f"{facts.handled}; " if facts.handled else "",
        _DANGER[facts.danger],
    ]
    if after:
        said.append(f"; taken from {_listed(after)}, so after it")
    if before:
        said.append(f"; {_listed(before)} {'is' if len(before) == 1 else 'are'} taken from it")
    return "".join(said)


def tasks(preparations: list[Document]) -> list[Document]:
    """What is done in which order: drying is begun first, then each is made, and titrants are standardised at the end."""
    found: list[Document] = []
    for one in preparations:
        for wait in one["waits"]:
            if wait["kind"] == "drying":
                found.append({"do": "dry", "preparation": one["n"], "text": f"Begin: {wait['text']}.",
                              "because": "it takes longest, so it is begun first"})  # fmt: skip
    for one in preparations:
        words = ", ".join(filter(None, (one.get("total", {}).get("display"), one.get("strength"))))
        found.append({"do": "make", "preparation": one["n"], "text": f"Make {one['name']}" + (f", {words}." if words else "."),
                      "because": one["because"]})  # fmt: skip
    for one in preparations:
        for wait in one["waits"]:
            if wait["kind"] == "standardising":
                found.append({"do": "standardise", "preparation": one["n"], "text": f"{wait['text'][:1].upper()}{wait['text'][1:]}.",
                              "because": "after the titrant and its standard are made"})  # fmt: skip
    return [{"n": n, **task} for n, task in enumerate(found, 1)]


def _listed(numbers: list[int]) -> str:
    return " and ".join(str(n) for n in sorted(numbers))
