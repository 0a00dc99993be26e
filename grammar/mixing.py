"""Several names in one text: substances to be brought together, or two names of one substance."""

from dataclasses import replace

from grammar.facts import Facts
from grammar.naming import Known, Reading, join
from grammar.request import Named


def asked(facts: Facts, readings: list[Reading]) -> bool:
    """Whether the text asks about bringing substances together: two names joined, and no solution to be made."""
    named = sorted((r for r in readings if r.named.name or r.named.formula), key=lambda r: r.run.start)
    if len(named) < 2 or (facts.series and not facts.mixing):
        return False
    joined = {r.run.joined_by for r in named[1:]} & {"WITH", "AND", "TO", "IN"}
    if not joined or (facts.source_opener not in ("", "conc", "with") and not facts.mixing):
        return False
    amounts = len(facts.strengths) + len(facts.masses)
    whole = bool(facts.volumes or facts.each)
    if facts.mixing:
        return amounts < len(named) or not whole or len({r.run.place for r in named}) > 1
    if amounts == 0:
        return not whole or "TO" in joined
    return not whole and amounts < len(named) and all(f.amount.kind == "percent" for f in facts.strengths)


def same_substance(one: Named, other: Named, known: Known) -> bool:
    """Whether a name and a formula are those of one substance, as far as ``known`` can tell."""
    if known is None or bool(one.name) == bool(other.name) or (one.water and other.water and one.water != other.water):
        return False
    first, second = (known((n.name or n.formula or "").lower()) for n in (one, other))
    return isinstance(first, frozenset) and bool(first) and first == second


def said_twice(target: list[Reading], known: Known) -> list[Reading]:
    """ "16 M sulfuric acid ... 0.1 M H2SO4": two targets that are one substance, by name and by formula, as one."""
    if len(target) != 2 or not same_substance(target[0].named, target[1].named, known):
        return target
    return [join(*target)]


def other_names(
    target: list[Reading], left: list[Reading], known: Known
) -> tuple[list[Reading], list[tuple[int, int]]]:
    """ "magnesium sulfate (Epsom salt)": a second name in brackets, where it is known to be the same substance.

    Words in brackets that only make sense with the name before them ("EDTA (disodium)") become part of it; they are
    taken out of ``left``. Returns the names that stay, and the places of the second names that were set aside.
    """
    if known is None or len(target) + len(left) < 2:
        return target, []
    kept: list[Reading] = []
    also: list[tuple[int, int]] = []
    for reading in sorted([*target, *left], key=lambda r: r.run.start):
        before = kept[-1] if kept else None
        if before is None or not reading.run.bracketed or not before.named.name or not reading.named.name:
            if reading in target:
                kept.append(reading)
            continue
        joined = f"{before.named.name} ({reading.named.name})"
        first, second = known(before.named.name.lower()), known(reading.named.name.lower())
        if isinstance(first, frozenset) and first and first == second:
            also.append((reading.run.start, reading.run.end))
        elif known(joined.lower()):
            kept[-1] = replace(before, named=replace(before.named, name=joined))
        elif reading in target:
            kept.append(reading)
            continue
        else:
            continue
        if reading in left:
            left.remove(reading)
    return kept, also
