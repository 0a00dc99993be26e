"""What may be sent instead of a text that was not understood: whole texts, each tried before it is offered."""

import re
from collections.abc import Callable, Iterable
from dataclasses import replace

from grammar.request import Misread

MOST_OFFERED = 3
#: Where reading stopped at one piece too many: the text without that piece may be what is meant. What changes an amount or
#: says "not" is never left out.
_ONE_TOO_MANY = frozenset(
    (
        *("two-substances", "brackets-unclear", "number-without-role", "two-strengths", "two-volumes", "two-masses"),
        *("mass-and-volume", "solvent-with-strength", "two-source-strengths", "broken-word"),
    )
)
Works = Callable[[str], bool]


def with_suggestions(text: str, problem: Misread, typed: Iterable[str], works: Works) -> Misread:
    """The problem with its place in the text and up to three texts that ``works`` says can be sent.

    ``typed``: the names as they were typed; one that is not known is where reading stopped, and near names take its place.
    """
    if problem.code == "substance-unknown":
        problem = _near_names(text, problem, typed)
    offered = list(problem.suggestions)
    if not offered and problem.code in _ONE_TOO_MANY and problem.span != (0, 0):
        start, end = problem.span
        offered.append(_tidy(f"{text[:start]} {text[end:]}"))
    kept = [words for words in dict.fromkeys(offered) if words and words != text and works(words)]
    return replace(problem, suggestions=tuple(kept[:MOST_OFFERED]))


def _near_names(text: str, problem: Misread, typed: Iterable[str]) -> Misread:
    for name in typed:
        words = name.split()
        found = re.search(r"\s+".join(re.escape(w) for w in words), text) if words else None
        if found is None or f"'{name}'" not in problem.message:
            continue
        whole = tuple(text[: found.start()] + near + text[found.end() :] for near in problem.suggestions)
        return replace(problem, span=found.span(), suggestions=whole)
    return problem


def _tidy(text: str) -> str:
    """The text without what a piece taken out leaves behind: empty brackets, doubled marks, a joining word at the end."""
    text = re.sub(r"[(\[]\s*[)\]]", " ", text)
    text = re.sub(r"\s+([,;:.])", r"\1", re.sub(r"\s+", " ", text))
    text = re.sub(r"\s?([,;:])(?:\s?[,;:.])+", r"\1", text)
    text = re.sub(r"(?i)(?:\s|,)(?:and|or|with|in|from|of|plus|to|for)\s*(?=[,.;]|$)", "", text)
    return text.strip(" ,;:")
