"""How many portions of what volume, and how much is to be left over."""

import re
from dataclasses import replace
from decimal import Decimal

from grammar.facts import Fact, Facts, ReadingError
from grammar.request import Portions, Quantity
from grammar.roles import at
from grammar.units import UNITS

_IN_PAIRS = re.compile(
    r"(?i)(?:(?:a class of )?(?P<heads>\d+) ?(?:students|pupils|learners|people)?,? (?:who )?(?:are )?)?(?:work(?:ing)? )?in pairs(?!\w)"
)


def portions(facts: Facts, notes: list[str], whole: tuple[int, int]) -> Portions | None:
    """The class set that was asked for. Raises when the numbers of people do not agree or are missing."""
    if facts.each is None:
        if facts.counts or facts.class_size is not None or facts.sets is not None:
            raise ReadingError("each-or-total", *whole)
        return None
    who = facts.each_who or (facts.counts[-1][1] if facts.counts else "students")
    count: int | None = None
    others = [c for c in facts.counts if c[1] == who] or [c for c in facts.counts if not facts.each_who]
    if others:
        count = others[0][0]
        if any(c[0] != count for c in others):
            raise ReadingError("two-counts", *whole)
    heads = facts.class_size or next((c[0] for c in facts.counts if c[1] == "students"), None)
    if count is None and heads is not None:
        if who == "pairs":
            count = (heads + 1) // 2
            notes.append(f"{heads} students are {count} pairs")
        elif who == "students":
            count = heads
    if facts.group_size is not None:
        if who != "groups" or heads is None:
            raise ReadingError("two-counts" if who != "groups" else "portion-unclear", *whole)
        groups = -(-heads // facts.group_size)
        if count not in (None, groups):
            raise ReadingError("two-counts", *whole)
        if count is None:
            notes.append(f"{heads} students in groups of {facts.group_size} are {groups} groups")
        count = groups
    if count is None:
        raise at(facts.each, "portion-unclear")
    if who == "pairs" and heads is not None and count != (heads + 1) // 2:
        raise ReadingError("two-counts", *whole)
    if facts.volumes:
        raise at(facts.volumes[0], "two-volumes")
    return Portions(count, facts.each.quantity, facts.sets or 1, facts.spare or Decimal(0), who)


def each_of_whom(text: str, shared: Portions | None, facts: Facts) -> None:
    """ "24 students in pairs, 50 mL each": each student or each pair? Raises with both readings, for they differ by two."""
    said = _IN_PAIRS.search(text)
    if shared is None or said is None or facts.each_who or shared.who != "students":
        return
    heads = int(said["heads"] or 0)
    readings = (f"{(heads + 1) // 2} pairs", f"{heads} students") if heads == shared.count else ()
    raise ReadingError("each-of-whom", said.start(), said.end(), readings=readings)


def with_spare(
    facts: Facts, total: Quantity | None, shared: Portions | None, notes: list[str]
) -> tuple[Quantity | None, Portions | None]:
    """Spare on a plain total makes the total larger; spare said as a volume turns portions into a total."""
    extra = facts.spare_amount
    if shared is not None:
        if extra is None:
            return total, shared
        whole = shared.each.value * shared.count * shared.sets
        notes.append(f"{shared.sets * shared.count} x {shared.each.value} {shared.each.unit} and the spare")
        return _add(Quantity(whole, shared.each.unit), extra), None
    if total is None:
        return None, None
    if extra is not None:
        notes.append(f"{total.value} {total.unit} and {extra.quantity.value} {extra.quantity.unit} spare")
        return _add(total, extra), None
    if facts.spare:
        notes.append(f"{total.value} {total.unit} and {facts.spare} % spare")
        return replace(total, value=total.value * (1 + facts.spare / 100)), None
    return total, None


def _add(total: Quantity, spare: Fact) -> Quantity:
    extra = spare.quantity
    if UNITS[total.unit].dimension != UNITS[extra.unit].dimension:
        raise at(spare, "spare-unclear")
    return replace(total, value=total.value + extra.value * UNITS[extra.unit].factor / UNITS[total.unit].factor)
