"""What a class uses, added up line by line. Pure, in decimal arithmetic; volumes mL."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any

from grammar import read
from grammar.request import Misread, Portions, Prepare, Quantity, Request
from grammar.units import in_base
from service.bench import Bench
from service.pipeline import Reply, known_names
from service.planner.totals import class_total
from service.problems import FieldError
from service.records.bodies import wrong

_NO_PLACE = "has no place here: there is a volume already, or no solution is asked for"
_ENDS = ("refused", "not_understood")
Answer = Callable[[str | Request, Bench], Reply]
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


def with_class_set(question: str | Request, told: dict[str, Any]) -> tuple[str | Request, tuple[str, ...]]:
    """What is asked with the class set in it, and the sum; words that cannot be read stay as they are, without one.

    Raises Problem where there is a volume already, or nothing that is made up to one.
    """
    request = read(question, known=known_names) if isinstance(question, str) else question
    if isinstance(request, Misread):
        return question, ()
    if not isinstance(request, Prepare) or request.total or request.portions or request.container:
        raise wrong([FieldError("/class_set", _NO_PLACE)])
    portions, lines = class_set(told)
    told_so = (*request.read_as_notes, *lines[: -len(sum_lines(portions))])
    return replace(request, portions=portions, read_as_notes=told_so), tuple(lines)


def answered(answer: Answer, bench: Bench, words: str | None, asked: str | Request) -> dict[str, Any]:
    """The reply to what is asked. ``words`` that came with a class set are judged as words too: for what they name."""
    if words is not None and not isinstance(asked, str):
        alone = answer(words, bench).document
        if alone["outcome"] in _ENDS:
            return alone
    return answer(asked, bench).document


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
