"""Several solutes in one solution: each name takes the strength or the mass that stands beside it."""

import re
from itertools import pairwise

from grammar.facts import Fact, Facts, ReadingError
from grammar.naming import Reading, same
from grammar.request import Component, Source
from grammar.roles import at

_CUT = re.compile(r"[,;+&]|\band\b|\bplus\b|\bwith\b")


def components(
    facts: Facts, names: list[Reading], sources: list[Reading], text: str
) -> tuple[Component, ...] | None:
    """One component for each name, or None when the amounts do not stand one beside each name."""
    wanted = sorted((f for f in facts.strengths if f.place != "source"), key=_start)
    if len(wanted) != len(names):
        wanted = sorted([*wanted, *facts.masses], key=_start)
    if len(wanted) != len(names) or len(names) < 2:
        return None
    ordered = sorted(names, key=lambda name: name.run.start)
    amount_first = _start(wanted[0]) < ordered[0].run.start
    for index, (fact, name) in enumerate(zip(wanted, ordered, strict=True)):
        following = wanted[index + 1] if index + 1 < len(wanted) else None
        if amount_first:
            beside = _start(fact) < name.run.start and (following is None or name.run.start < _start(following))
        else:
            beside = name.run.start < _start(fact) and (
                index + 1 == len(ordered) or _start(fact) < ordered[index + 1].run.start
            )
        if not beside and not _one_in_each_part(wanted, ordered, text):
            return None
    stocks = _stocks(facts, ordered, sources)
    made = []
    for fact, name, stock in zip(wanted, ordered, stocks, strict=True):
        if fact.amount.kind == "mass":
            made.append(Component(name.named, mass=fact.quantity, source=stock))
        else:
            made.append(Component(name.named, fact.quantity, source=stock))
    return tuple(made)


def _one_in_each_part(wanted: list[Fact], names: list[Reading], text: str) -> bool:
    """ "8 g/L NaCl and KCl 0.2 g/L": cut at each "and" and comma, every part has one amount and one name."""
    places = sorted([*((_start(f), f.amount.end_pos) for f in wanted), *((n.run.start, n.run.end) for n in names)])
    if len(places) % 2:
        return False
    for index, (before, after) in enumerate(pairwise(places)):
        cut = _CUT.search(text, before[1], after[0]) is not None
        if cut != bool(index % 2):
            return False
    starts = {_start(f) for f in wanted}
    return all((places[i][0] in starts) != (places[i + 1][0] in starts) for i in range(0, len(places), 2))


def same_strength(facts: Facts, names: list[Reading]) -> tuple[str, ...]:
    """ "0.1 M NaCl and KCl": the second name with the strength of the first, as a suggestion."""
    if len(names) != 2 or len(facts.strengths) != 1 or names[1].run.joined_by != "AND":
        return ()
    amount = facts.strengths[0].amount
    return (f"{amount.text} {amount.unit_text} {names[1].named.as_typed}",)


def one_solution(facts: Facts, made: tuple[Component, ...], whole: tuple[int, int]) -> None:
    """Raise when each name has a volume of its own ("100 mL each of ..."): several solutions, to be asked for one by one."""
    volumes = [f.quantity for f in facts.volumes]
    if facts.each is not None and not facts.counts and facts.class_size is None:
        volumes = [facts.each.quantity] * len(made)
    if len(volumes) != len(made):
        return
    texts = [
        f"{volume.value} {volume.unit} of {amount.value} {amount.unit} {part.solute.as_typed}"
        if part.strength is not None
        else f"{amount.value} {amount.unit} {part.solute.as_typed} in {volume.value} {volume.unit}"
        for part, volume in zip(made, volumes, strict=True)
        if (amount := part.strength or part.mass) is not None
    ]
    raise ReadingError("several-solutions", *whole, "", tuple(texts[:3]))


def used_masses(facts: Facts, made: tuple[Component, ...]) -> None:
    """Take the masses that went to components out of the facts, so that one left over is the total."""
    taken = [c.mass for c in made if c.mass is not None]
    facts.masses = [f for f in facts.masses if f.quantity not in taken]


def _start(fact: Fact) -> int:
    return fact.amount.start_pos


def _stocks(facts: Facts, names: list[Reading], sources: list[Reading]) -> list[Source | None]:
    """The stock of each component: named ones by their name, "1 M / 5 M / 50 %" in the order of the components."""
    strengths = sorted((f for f in facts.strengths if f.place == "source"), key=_start)
    if not strengths:
        if sources:
            raise ReadingError("two-substances", sources[0].run.start, sources[0].run.end)
        return [None] * len(names)
    if not sources:
        if len(strengths) != len(names):
            raise at(strengths[-1], "stocks-unclear")
        return [Source("stock", strength=f.quantity) for f in strengths]
    found: list[Source | None] = [None] * len(names)
    if len(sources) != len(strengths):
        raise at(strengths[-1], "stocks-unclear")
    for fact, source in zip(strengths, sorted(sources, key=lambda s: s.run.start), strict=True):
        index = next((i for i, n in enumerate(names) if same(n.named, source.named)), None)
        if index is None or found[index] is not None:
            raise ReadingError("stocks-unclear", source.run.start, source.run.end)
        found[index] = Source("stock", strength=fact.quantity)
    return found
