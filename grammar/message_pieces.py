"""The pieces that the phrases of a conversation are made of: numbers, quantities, vessels, people."""

import re

from grammar import words
from grammar.numbers import NUMBER_PATTERN, SPELLED
from grammar.units import UNIT_PATTERN

_END = r"(?![\w%/]|[.,]\d)"


_IN_WORDS = "|".join(sorted(SPELLED, key=len, reverse=True))
WORD_NUMBER = rf"(?:{_IN_WORDS})(?:[ -](?:{_IN_WORDS}))?"


COUNT = rf"\d{{1,5}}|{WORD_NUMBER}"


QUANTITY = rf"(?:{NUMBER_PATTERN})\s?(?:{UNIT_PATTERN})"


PERCENT = rf"(?:(?:{NUMBER_PATTERN})\s?(?:%|per ?cent|pct)|(?:{WORD_NUMBER})\s(?:%|per ?cent))"


WHO = "|".join(sorted(words.WHO, key=len, reverse=True))


VESSEL = "|".join(
    re.escape(phrase.strip())
    for phrases in words.VESSELS.values()
    for phrase in sorted(re.split(r"[|\n]", phrases), key=len, reverse=True)
    if phrase.strip()
)


MATERIAL = "|".join(re.escape(m.strip()) for group in words.MATERIALS.values() for m in group.split("|"))


def pattern(text: str) -> re.Pattern[str]:
    """A phrase that ends with the word, in any case."""
    return re.compile(text + _END, re.IGNORECASE)
