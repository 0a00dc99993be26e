"""Read a typed request from JSON: the same fields as ``grammar.request``, every fault named by its JSON pointer.

A unit may also be sent as its UN/CEFACT code.
"""

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from decimal import Decimal
from functools import cache
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

import orjson
from pydantic import TypeAdapter, ValidationError

from grammar.request import Portions, Quantity, Request
from grammar.units import STRENGTHS, UNITS
from service.problems import FieldError
from service.unit_codes import codes_for, in_own_units

KINDS: dict[str, Any] = {shape.__dataclass_fields__["kind"].default: shape for shape in get_args(Request)}
LARGEST, SMALLEST = Decimal("1e12"), Decimal("1e-15")
MOST_DIGITS = 30
MOST_PORTIONS = 100_000
MOST_ITEMS = 40  # components of one solution, notes on one request: more is no bench preparation

# What a quantity may be measured in, by the field that holds it. ``time`` is in no field of a request.
_DIMENSIONS: dict[str, frozenset[str]] = {
    "total": frozenset({"volume", "mass"}),
    "volume": frozenset({"volume"}),
    "nominal": frozenset({"volume"}),
    "each": frozenset({"volume"}),
    "mass": frozenset({"mass"}),
    "density": frozenset({"density"}),
    "purity": frozenset({"percent"}),
    "temperature": frozenset({"temperature"}),
    "kept_at": frozenset({"temperature"}),
    "strength": STRENGTHS,
    "also": STRENGTHS,
    "strengths": STRENGTHS,
    "available": frozenset({"volume", "mass", "amount"}),
    "claimed": frozenset({"mass", "volume", "amount"}) | STRENGTHS,
}


class UnreadableError(ValueError):
    """The document is no typed request; ``errors`` says where and why."""

    def __init__(self, errors: tuple[FieldError, ...]) -> None:
        super().__init__("; ".join(f"{e.pointer}: {e.message}" for e in errors))
        self.errors = errors


def read(document: Any, pointer: str = "") -> Request:
    """The typed request that ``document`` (parsed JSON) holds. Raises UnreadableError with every fault found."""
    if not isinstance(document, dict):
        raise UnreadableError((FieldError(pointer, "must be an object"),))
    document = in_own_units(document)
    kind = document.get("kind", "prepare")
    target = KINDS.get(kind) if isinstance(kind, str) else None
    if target is None:
        raise UnreadableError((FieldError(f"{pointer}/kind", "is no kind of request", tuple(KINDS)),))
    errors = {e.pointer: e for e in _faults(target, document, pointer, "")}
    try:
        # As JSON and strictly: true is no number, "yes" no truth value; a decimal may still be text.
        request = adapter(kind).validate_json(orjson.dumps(document), strict=True)
    except ValidationError as invalid:
        for fault in invalid.errors(include_url=False, include_context=False, include_input=False):
            where = pointer + "".join(f"/{_escape(str(part))}" for part in fault["loc"])
            errors.setdefault(where, FieldError(where, _plain(fault["msg"])))
    if errors:
        raise UnreadableError(tuple(errors.values()))
    return request


@cache
def adapter(kind: str) -> "TypeAdapter[Request]":
    """The validator of one kind of request."""
    return TypeAdapter(KINDS[kind])


def units_for(field: str) -> tuple[str, ...]:
    """The unit keys that a field may hold, in table order; every unit for a field that is not listed above."""
    dimensions = _DIMENSIONS.get(field)
    return tuple(key for key, unit in UNITS.items() if dimensions is None or unit.dimension in dimensions)


def _faults(target: Any, value: Any, pointer: str, field: str) -> Iterator[FieldError]:
    """Faults that the types alone do not show: unknown fields, units of the wrong kind, numbers out of range."""
    if isinstance(value, list):
        least = 1 if field in ("components", "solutes") else 0
        if not least <= len(value) <= MOST_ITEMS:
            yield FieldError(pointer, f"must hold {least} to {MOST_ITEMS} items")
        for place, item in enumerate(value):
            yield from _faults(target, item, f"{pointer}/{place}", field)
        return
    has_fields = is_dataclass(target)
    if not isinstance(value, dict) or not has_fields:
        return
    inner = _inner_types(target)
    for name, held in value.items():
        where = f"{pointer}/{_escape(name)}"
        if name not in inner:
            yield FieldError(where, "is no field here", tuple(inner))
        else:
            yield from _faults(inner[name], held, where, name)
    if target is Quantity:
        yield from _quantity_faults(value, pointer, field)
    if target is Portions:
        yield from _portion_faults(value, pointer)


def _quantity_faults(value: dict[str, Any], pointer: str, field: str) -> Iterator[FieldError]:
    allowed = units_for(field)
    unit = value.get("unit")
    if isinstance(unit, str) and unit not in allowed:
        yield FieldError(f"{pointer}/unit", f"{unit[:40]!r} is not a unit for {field}", allowed + codes_for(allowed))
    number = _number(value.get("value"))
    if number is None or field in ("temperature", "kept_at"):
        return
    if not number.is_finite() or number <= 0:
        yield FieldError(f"{pointer}/value", "must be a number above 0")
    elif not SMALLEST <= number <= LARGEST or len(number.as_tuple().digits) > MOST_DIGITS:
        yield FieldError(
            f"{pointer}/value", f"must lie between {SMALLEST} and {LARGEST}, with at most {MOST_DIGITS} digits"
        )


def _portion_faults(value: dict[str, Any], pointer: str) -> Iterator[FieldError]:
    for name in ("count", "sets"):
        number = value.get(name, 1)
        if isinstance(number, int) and not 1 <= number <= MOST_PORTIONS:
            yield FieldError(f"{pointer}/{name}", f"must lie between 1 and {MOST_PORTIONS}")
    spare = _number(value.get("spare_percent", 0))
    if spare is not None and not (spare.is_finite() and 0 <= spare <= 1000):
        yield FieldError(f"{pointer}/spare_percent", "must lie between 0 and 1000")


def _number(value: Any) -> Decimal | None:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        return None
    try:
        return Decimal(str(value))
    except ArithmeticError:
        return None


@cache
def _inner_types(target: Any) -> dict[str, Any]:
    """Each field's own type, with optional and tuple taken off."""
    hints = get_type_hints(target)
    return {item.name: _core(hints[item.name]) for item in fields(target)}


def _core(hint: Any) -> Any:
    while get_origin(hint) in (tuple, Union, UnionType):
        hint = next(a for a in get_args(hint) if a not in (NoneType, Ellipsis))
    return hint


def _escape(part: str) -> str:
    return part.replace("~", "~0").replace("/", "~1")


def _plain(message: str) -> str:
    return message[:1].lower() + message[1:]
