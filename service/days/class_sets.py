"""What a class uses, added up line by line. Pure, in decimal arithmetic; volumes mL."""

from decimal import Decimal
from typing import Any

from grammar.request import Portions, Quantity
from grammar.units import in_base
from service.planner.totals import class_total

_GROUPS = {1: ("students", "student"), 2: ("pairs", "pair")}


def class_set(told: dict[str, Any]) -> tuple[Portions, list[str]]:
    """The portions of a ClassSet body, and the sum.

    Students that do not fill a last group count as a whole one. Repeats, rinses and dead volume are those of each group.
    """
    size, students = told.get("group_size", 1), told["students"]
    many, one = _GROUPS.get(size, ("groups", "group"))
    count = -(-students // size)
    each, repeats = _volume(told["each"]), told.get("repeats", 1)
    lines = []
    if size > 1:
        rest = students % size
        left = f", the last with {rest}" if rest else ""
        lines.append(f"{students} students in {many if size == 2 else f'groups of {size}'}: {count} {many}{left}")
    parts = [repeats * each]
    if repeats > 1:
        lines.append(f"{repeats} repeats x {_said(each)} = {_said(parts[0])} for each {one}")
    if "rinse" in told:
        rinses, rinse = told.get("rinses", 1), _volume(told["rinse"])
        parts.append(rinses * rinse)
        lines.append(f"{rinses} rinse{'s' if rinses > 1 else ''} x {_said(rinse)} = {_said(parts[-1])} for each {one}")
    if "dead_volume" in told:
        parts.append(_volume(told["dead_volume"]))
        lines.append(f"{_said(parts[-1])} dead volume for each {one}")
    whole = sum(parts, Decimal(0))
    if len(parts) > 1:
        lines.append(f"{' + '.join(plainly(part) for part in parts)} = {_said(whole)} for each {one}")
    spare = told.get("spare_percent", Decimal(0))
    portions = Portions(count, Quantity(whole, "mL"), told.get("sections", 1), spare, many)
    return portions, [*lines, *sum_lines(portions)]


def sum_lines(portions: Portions) -> list[str]:
    """The sum of portions: people, classes, spare, total."""
    each = in_base(portions.each)
    bare = each * portions.count * portions.sets
    classes = f" x {portions.sets} classes" if portions.sets != 1 else ""
    lines = [f"{portions.count} {portions.who} x {_said(each)}{classes} = {_said(bare)}"]
    if portions.spare_percent:
        total = in_base(class_total(portions))
        lines.append(f"{plainly(portions.spare_percent)} % spare: {_said(total - bare)}, {_said(total)} in all")
    return lines


def plainly(value: Decimal) -> str:
    """The number without an exponent and without zeros at its end."""
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _volume(told: dict[str, Any]) -> Decimal:
    return in_base(Quantity(told["value"], told["unit"]))


def _said(value: Decimal) -> str:
    return f"{plainly(value)} mL"
