"""The body of a prep day: its date and what is asked for, each line with who it is for and by when. Every fault is named."""

from collections.abc import Callable
from datetime import date
from typing import Any, TypeVar

from grammar import read
from grammar.request import Prepare
from service.api.bodies import asked
from service.api.wishes import day, taken_out
from service.days.class_sets import sum_lines, with_class_set
from service.days.line import Line
from service.pipeline import known_names
from service.problems import FieldError, Problem
from service.records.bodies import read_body, wrong
from service.schemas.days import ClassSet, To

MOST_LINES = 100
_FIELDS = ("date", "requests")
Found = TypeVar("Found")


def read_day(body: dict[str, Any]) -> tuple[date, list[Line]]:
    """The day and its lines. Raises Problem naming every field that cannot be used; nothing is taken on then."""
    errors = [FieldError(f"/{key}", "is no field here", _FIELDS) for key in body if key not in _FIELDS]
    on = day(body.get("date"))
    if on is None:
        errors.append(FieldError("/date", "must be a day such as 2027-01-18"))
    requests = body.get("requests")
    if not isinstance(requests, list) or not 1 <= len(requests) <= MOST_LINES:
        raise wrong([*errors, FieldError("/requests", f"must be a list of 1 to {MOST_LINES} requests")])
    lines = [_line(n, told, f"/requests/{n - 1}", errors) for n, told in enumerate(requests, 1)]
    if errors or on is None:
        raise wrong(errors)
    return on, [line for line in lines if line is not None]


def _line(number: int, told: Any, pointer: str, errors: list[FieldError]) -> Line | None:
    if not isinstance(told, dict):
        errors.append(FieldError(pointer, "must be an object with text or request"))
        return None
    rest, before = dict(told), len(errors)
    typed_set, typed_to = rest.pop("class_set", None), rest.pop("to", None)
    shared = (
        None if typed_set is None else _tried(lambda: read_body(typed_set, ClassSet), f"{pointer}/class_set", errors)
    )
    to: Any = None if typed_to is None else _tried(lambda: read_body(typed_to, To), f"{pointer}/to", errors)
    wish = _tried(lambda: taken_out(rest), pointer, errors)
    question = _tried(lambda: asked(rest), pointer, errors)
    if len(errors) > before or question is None or wish is None:
        return None
    words = question if isinstance(question, str) else None
    if shared is None:
        request = read(question, known=known_names) if isinstance(question, str) else question
        portions = request.portions if isinstance(request, Prepare) else None
        return Line(number, words, question, wish, to, tuple(sum_lines(portions)) if portions else ())
    filled = _tried(lambda: with_class_set(question, shared), pointer, errors)
    return None if filled is None else Line(number, words, filled[0], wish, to, filled[1])


def _tried(take: Callable[[], Found], pointer: str, errors: list[FieldError]) -> Found | None:
    """What ``take`` gives; its faults are added under ``pointer``, and None is given."""
    try:
        return take()
    except Problem as problem:
        found = problem.errors or (FieldError("", problem.detail),)
        errors += [FieldError(pointer + e.pointer, e.message, e.allowed) for e in found]
        return None
