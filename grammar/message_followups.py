"""Whole messages that lean on the request before: another substance ("no wait, KBr"), an amount to check ("is 4.25 g ok?")."""

import re

from grammar import read_quantity
from grammar.message import Amend, Available, Change, Claimed, SetQuantity, SetSolute
from grammar.message_pieces import QUANTITY
from grammar.naming import Known
from grammar.reader import read
from grammar.request import Named, Prepare
from grammar.units import dimension

_BEFORE = re.compile(
    r"(?:(?:no|oh|ok(?:ay)?|sorry|wait|actually|please|and|now|then|but|rather|i mean|i meant|how about|what about|what if"
    r"|for|make (?:it|that)|(?:swap|switch|change)(?: (?:it|that))? (?:to|for|with)|go for|instead)(?:[,\s]+|$))+",
    re.IGNORECASE,
)
_AFTER = re.compile(
    r"(?:[,\s]+(?:then|instead|please|too|as well|also|rather|now|it is|it's))+[\s.!?]*$|[\s.!?]+$", re.IGNORECASE
)
_SWAPPED = re.compile(
    r"(?:swap|replace|change|switch) (?!(?:it|that|this|to|for|with|by)\b)"
    r"(?P<old>[^,;]+?) (?:for|with|by|to) (?P<new>[^,;]+)",
    re.IGNORECASE,
)
_INSTEAD = re.compile(r"(?:with |use |using )?(?P<new>[^,;]+?) (?:instead of|rather than) (?P<old>[^,;]+)", re.IGNORECASE)
_NOT = re.compile(r"not (?P<old>[^,;]+?)[,;]? (?:but |it's |it is )?(?P<new>[^,;]+)", re.IGNORECASE)
#: What things are dissolved in; named alone they may be meant as that.
_SOLVENTS = frozenset(("water", "ethanol", "methanol", "acetone", "propanone", "alcohol"))

_RIGHT = r"(?:ok(?:ay)?|all right|alright|right|correct|fine|good)"
_CLAIMED = re.compile(
    r"(?:(?:so|and|but|then|right|ok(?:ay)?),? )*(?:"
    rf"(?:is|was|would|will) (?P<is>{QUANTITY})(?: be)? {_RIGHT}"
    rf"|(?:should(?:n't| not)? it(?: not)? be|my (?:answer|result|mass|value) (?:is|was)) (?P<own>{QUANTITY})"
    rf"|(?:the|my|a|our) (?:student|pupil|book|textbook|sheet|colleague|friend|teacher) (?:says|said|got|gets|gives"
    rf"|claims) (?P<told>{QUANTITY})"
    rf"|(?:would|will|does) (?P<do>{QUANTITY}) do"
    rf"|(?:what|how) about (?P<about>{QUANTITY})(?: then)?"
    rf"|(?:i|we|he|she|they|the student) (?:got|get|gets|calculated|worked out|make it|made it|found) (?P<got>{QUANTITY})"
    rf"(?:[,;.]? (?:is (?:that|it) )?{_RIGHT})?"
    rf"|(?P<first>{QUANTITY})[,;:]? (?:is (?:that|it) )?{_RIGHT}(?=\?)"
    r")[\s?.!]*",
    re.IGNORECASE,
)


_HAVE = re.compile(
    r"(?:(?:but|and|so|sorry|what if|if),? )*(?:i|we)(?:'ve| have)?(?: only| just)?(?: have| got)?(?: only| just)? "
    rf"(?P<q>{QUANTITY})(?: of it)?(?: left)?[\s?.!]*"
    rf"|how much (?:of it )?(?:can|could) (?:i|we) make (?:with|from|out of) (?P<q2>{QUANTITY})[\s?.!]*",
    re.IGNORECASE,
)


def available(line: str) -> Available | None:
    """ "I only have 1 g": a mass; a volume might be of a stock or of the solution, and is not taken."""
    found = _HAVE.fullmatch(line)
    having = found is not None and (found["q2"] or re.search(r"\b(?:have|'ve|got)\b|'ve", line))
    quantity = read_quantity(found["q"] or found["q2"]) if found is not None and having else None
    return Available(quantity) if quantity is not None and dimension(quantity.unit) == "mass" else None


def claimed(line: str) -> Claimed | None:
    """An amount to be checked; "what about" only with a mass, as a volume or strength may be wanted instead."""
    found = _CLAIMED.fullmatch(line)
    if found is None:
        return None
    quantity = read_quantity(next(text for text in found.groupdict().values() if text))
    if quantity is None or dimension(quantity.unit) not in ("mass", "volume", "amount"):
        return None
    return None if found["about"] and dimension(quantity.unit) != "mass" else Claimed(quantity)


def other_substance(line: str, known: Known) -> Amend | None:
    """The same of another substance, where the words around its name say so; a whole new request is none."""
    opened = _BEFORE.match(line)
    rest = line[opened.end() :] if opened else line
    closed = _AFTER.search(rest)
    rest = rest[: closed.start()] if closed else rest
    plain = line.rstrip(" .!?")
    swapped = _SWAPPED.fullmatch(plain) or _INSTEAD.fullmatch(plain) or _NOT.fullmatch(rest)
    if swapped is None and not opened and not (closed and closed[0].strip(" .!?")):
        return None
    old = _plain(swapped["old"], known) if swapped else None
    request = _plain(swapped["new"] if swapped else rest, known)
    if request is None or (swapped and old is None):
        return None
    component = request.components[0]
    changes: list[Change] = [SetSolute(component.solute, _named(old))]
    changes += [SetQuantity(q) for q in (component.strength, request.total) if q is not None]
    return Amend(tuple(changes)) if len(changes) < 3 else None


def _named(request: Prepare | None) -> Named | None:
    return request.components[0].solute if request is not None else None


def _plain(text: str, known: Known) -> Prepare | None:
    """One known substance, with a strength or a volume at most."""
    request = read(text, known=known)
    if not isinstance(request, Prepare) or len(request.components) != 1 or request.set_aside:
        return None
    if request.portions or request.container or request.bottle or request.solvent or request.ph or request.purpose:
        return None
    component = request.components[0]
    if component.mass is not None or component.source is not None or component.reaction is not None:
        return None
    named = component.solute
    if named.name.lower() in _SOLVENTS or not (named.formula or (known is not None and known(named.name.lower()))):
        return None
    return request
