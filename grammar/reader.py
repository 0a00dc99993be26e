"""``read``: one typed sentence to a ``Reading``. Facts found by ``grammar.facts`` get their roles here."""

import re

from grammar import asking, misreadings, words
from grammar.assembly import Assembly
from grammar.facts import ReadingError, Scanner
from grammar.handlers import HANDLERS
from grammar.lexing import chunks
from grammar.naming import Known
from grammar.normalise import Normalised, normalise
from grammar.numbers import comma_habit
from grammar.request import Reading

LONGEST_TEXT = 2000
LONGEST_NORMAL = 3000  # "½" and the like grow when they are made regular
MOST_CHUNKS = 450  # no sentence of that length has so many words and marks
# Marks of program text; none of them occurs in a request for a solution.
_CODE = re.compile(
    r"\{\{|\$\{|</?[a-zA-Z!]|';|\";|\.\./|/\*|\$\(|&&|\|\||\\[xun]|\bdrop table\b|\bselect \*", re.IGNORECASE
)


def read(text: str, known: Known = None) -> Reading:
    """Read one sentence. Never raises: what has no safe reading comes back as a ``Misread``.

    ``known`` tells whether words (lower case, hydrate words removed) name a substance; it only helps to find
    the name among other words and is not needed.
    """
    if len(text) > LONGEST_TEXT:
        return misreadings.misread("text-too-long", (LONGEST_TEXT, len(text)))
    normal = normalise(text)
    if len(normal.text) > LONGEST_NORMAL:
        return misreadings.misread("text-too-long", (0, len(text)))
    asked = asking.read(normal.text, lambda part: _request(normalise(part), known))
    return _request(normal, known) if asked is None else asked


def _request(normal: Normalised, known: Known) -> Reading:
    text = normal.typed
    if not normal.text.strip():
        return misreadings.misread("empty", (0, 0))
    code = _CODE.search(normal.text)
    if code:
        return misreadings.misread("not-a-request", normal.span(*code.span()))
    found = chunks(normal.text, comma_habit(text))
    if len(found) > MOST_CHUNKS:
        return misreadings.misread("not-a-request", (0, len(text)))
    scanner = Scanner(found)
    try:
        facts = scanner.scan(HANDLERS)
        return Assembly(facts, normal, known).request()
    except ReadingError as trouble:
        if words.NON_ENGLISH.search(normal.text):
            return misreadings.misread("not-english", (0, len(text)))
        return misreadings.from_trouble(trouble, normal, scanner.facts)
