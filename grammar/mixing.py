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
    """ "16 M sulfuric acid ... 0.1 M H2SO4", "EDTA 0.01 M: 3.72 g of disodium EDTA": targets that are one substance, as one."""
    made: list[Reading] = []
    for reading in target:
        last = made[-1] if made else None
        if last is None:
            made.append(reading)
        elif len(target) == 2 and same_substance(last.named, reading.named, known):
            made[-1] = join(last, reading)
        elif (narrower := _narrower(last, reading, known)) is not None:
            made[-1] = narrower
        else:
            made.append(reading)
    return made if len(made) == 1 else target


def _narrower(one: Reading, other: Reading, known: Known) -> Reading | None:
    """Of two names that nothing joins, where all that one may mean the other may mean too, the one that says more."""
    if known is None or other.run.joined_by in ("AND", "WITH", "TO", "IN", "OR") or one.named.cas or other.named.cas:
        return None
    first, second = (known((r.named.name or r.named.formula or "").lower()) for r in (one, other))
    if not isinstance(first, frozenset) or not isinstance(second, frozenset) or not first or not second:
        return None
    if not (first <= second or second <= first):
        return None
    said, less = (other, one) if second <= first else (one, other)
    waters = {r.named.water for r in (one, other)} - {None}
    if len(waters) > 1 or (less.named.formula and said.named.formula and less.named.formula != said.named.formula):
        return None
    return replace(said, run=one.run, named=replace(said.named, water=waters.pop() if waters else None))


def parts_of_a_buffer(facts: Facts, target: list[Reading], sources: list[Reading]) -> list[Reading]:
    """ "acetate buffer pH 4.6 from acetic acid and sodium acetate": both names as one source, which the planner checks."""
    named = len(target) == 1 and target[0].named.name.lower().endswith("buffer")
    if (
        len(sources) != 2
        or not named
        or any(f.place == "source" for f in facts.strengths)
        or sources[1].run.joined_by != "AND"
    ):
        return sources
    typed = " and ".join(r.named.as_typed for r in sources)
    return [replace(sources[0], named=Named(name=typed, as_typed=typed))]


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
