"""What a correction changed, field by field."""

from collections.abc import Iterator
from typing import Any


def changed_fields(before: Any, after: Any) -> list[dict[str, str]]:
    """The JSON pointers whose value differs, with ``was`` and ``now`` where there was or is one."""
    old, new = dict(_leaves(before, "")), dict(_leaves(after, ""))
    found = []
    for pointer in dict.fromkeys((*old, *new)):
        if old.get(pointer) != new.get(pointer):
            line = {"field": pointer}
            if pointer in old:
                line["was"] = old[pointer]
            if pointer in new:
                line["now"] = new[pointer]
            found.append(line)
    return found


def _leaves(value: Any, pointer: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        for key, held in value.items():
            yield from _leaves(held, f"{pointer}/{key}")
    elif isinstance(value, list):
        for place, held in enumerate(value):
            yield from _leaves(held, f"{pointer}/{place}")
    else:
        yield pointer, str(value)
