"""What a text names that must never meet, found in the text itself: for texts that were not read, or not read whole."""

import re

from grammar.request import Combine, Named
from rules.tables.household import household
from rules.tables.substances import by_name

#: Words of the longest name looked for, and words of a text that are looked at.
MOST_WORDS, MOST_LOOKED_AT = 4, 200
_WORD = re.compile(r"[^\s,;]+")
_ENDS = ".:?!\"'"
#: Two dangerous names in two lines of a list are two solutions, unless something says they are brought together.
_TOGETHER = re.compile(r"(?i)\b(?:mix\w*|with|and|plus|add\w*|into|together|containing|in)\b|\+|&")


_PURPOSE = re.compile(r"(?i)\bfor\s.*")


def without_purpose(text: str) -> str:
    """The text up to what the solution is for: a lesson may well use two bottles that must not meet."""
    return _PURPOSE.sub("", text)


def meeting(text: str) -> Combine | None:
    """The substances a text names, as a request to bring them together; None where it names fewer than two."""
    if not _TOGETHER.search(text):
        return None
    words = _WORD.findall(text)[:MOST_LOOKED_AT]
    found: dict[str, Named] = {}
    at = 0
    while at < len(words):
        for count in range(min(MOST_WORDS, len(words) - at), 0, -1):
            name = " ".join(words[at : at + count]).strip(_ENDS)
            slug = _named(name)
            if slug is not None:
                found.setdefault(slug, Named(name=name, as_typed=name))
                at += count - 1
                break
        at += 1
    return Combine(tuple(found.values())) if len(found) > 1 else None


def _named(name: str) -> str | None:
    """The one substance of that name; a name of several, of water or of one letter says nothing here."""
    if len(name) < 3 or name.lower() == "water":
        return None
    product = household(name)
    if product is not None:
        return product.slug
    slugs = {match.substance.slug for match in by_name(name)}
    return slugs.pop() if len(slugs) == 1 else None
