"""Which option of an open question a message names: by number, letter, ordinal, id or words of its label."""

import re
from typing import Any

_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
_NUMBERS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_AROUND = re.compile(
    r"^(?:please |ok(?:ay)?,? |(?:it's|it is|that's|that is|i mean|i meant|use|take|make it|we have|i have|i want|with|no,?|yes,?|option"
    r"|number|answer|the|a|an|as|in) )*|(?: (?:one|please|option|then|instead|of them|form|thanks))*[\s.!?)]*$",
    re.IGNORECASE,
)
#: A larger number is rather an amount than a place in a list.
_MOST_COUNTED = 20
_YES = frozenset(("yes", "y", "yep", "yeah", "ok", "okay", "correct", "right", "that's right", "yes please"))


def chosen(question: dict[str, Any], text: str) -> dict[str, Any] | None:
    """The option that ``text`` names; None when it names none, or more than one."""
    options: list[dict[str, Any]] = question.get("options", [])
    said = " ".join(text.strip().casefold().split())
    if not options or not said or len(said) > 120:
        return None
    if said in _YES:
        return _usable(options[0]) if len(options) == 1 else None
    bare = _AROUND.sub("", said).strip()
    if not bare:
        return None
    place = _place(bare, len(options))
    if place is None:
        place = _place(said.rstrip(".!)"), len(options))
    if place is not None:
        return _usable(options[place])
    exact = [o for o in options if bare in (o["id"].casefold(), o["label"].casefold())]
    if len(exact) == 1:
        return _usable(exact[0])
    words = _words(bare)
    named = [o for o in options if words and words <= (_words(o["label"]) | _words(o["id"]))]
    return _usable(named[0]) if len(named) == 1 else None


def beyond(question: dict[str, Any], text: str) -> str | None:
    """The small number that counts past the last option: it names none of them, and is no amount either."""
    bare = _AROUND.sub("", " ".join(text.strip().casefold().split())).strip()
    options = question.get("options", [])
    past = bare.isascii() and bare.isdigit() and len(bare) < 3 and len(options) < int(bare) <= _MOST_COUNTED
    return bare if options and past else None


def _usable(option: dict[str, Any]) -> dict[str, Any] | None:
    return option if "request" in option else None


def _place(said: str, count: int) -> int | None:
    place: int | None = None
    if said.isascii() and said.isdigit() and len(said) < 4:
        place = int(said) - 1
    elif len(said) == 1 and "a" <= said <= "z":
        place = ord(said) - ord("a")
    elif said in _ORDINALS:
        place = _ORDINALS.index(said)
    elif said in _NUMBERS:
        place = _NUMBERS.index(said)
    elif said == "last" or (said == "latter" and count == 2):
        place = count - 1
    elif said == "former" and count == 2:
        place = 0
    return place if place is not None and 0 <= place < count else None


def _words(text: str) -> set[str]:
    return set(re.findall(r"[\w./%-]+", text.casefold())) - {"the", "a", "an", "of", "in", "as", "it", "and"}
