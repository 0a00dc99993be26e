"""Phrases about strength and bottle that hold more than one change or a factor: "ten times weaker", "the bottle says 32 %, 1.16"."""

import re
from decimal import Decimal

from grammar import words
from grammar.message import Change, SetBasis, SetNumber, SetPeople, SetQuantity, SetScale
from grammar.message_pieces import COUNT, PERCENT, pattern
from grammar.message_words import SCALES
from grammar.numbers import NUMBER_PATTERN, read_number, spelled_number
from grammar.request import Quantity

Changes = list[Change]
_WAY = (
    r"(?:(?P<weaker>weaker|more dilute|less concentrated)|stronger|more concentrated|the strength|the concentration"
    r"|strength|concentration)"
)
_FACTOR = pattern(
    rf"(?:(?P<many>{COUNT})\s?(?:times|x|-?fold)|(?P<scale>double|twice|half|triple|treble|quadruple)) {_WAY}"
)
_BASIS = pattern(
    r"(?:as |% ?)?(?P<basis>w/w|w/v|v/v|(?:weight|mass) (?:by|per|in|/) ?(?:volume|weight|mass)|volume (?:by|per|in|/) ?volume"
    r"|by weight|by mass|by volume)"
)
_BASES = {
    "w/w": "% w/w",
    "by weight": "% w/w",
    "by mass": "% w/w",
    "w/v": "% w/v",
    "v/v": "% v/v",
    "by volume": "% v/v",
}
_BOTTLE = pattern(
    rf"(?:(?:(?:the|our|my)\s)?(?:bottle|label|acid|reagent) (?:says|reads|is|gives|has)|from(?: the)?) (?P<percent>{PERCENT})(?: w/w)?"
    r"(?:(?:,|;| and| with)? (?:a )?(?:density |d |sg |sp\.? ?gr\.? )?(?:of |= ?|is )?(?P<density>[01]\.\d{1,4})(?: ?g/m[lL])?)?"
)
_IN = re.compile(rf"in (?P<n>{NUMBER_PATTERN})(?=[\s.!?]*$)", re.IGNORECASE)
_CLASS = pattern(rf"(?:a |the )?class of (?P<count>{COUNT})(?: (?P<who>{'|'.join(words.WHO)}))?")


def strength_change_at(line: str, at: int) -> tuple[Changes, int] | None:
    """The changes that begin at this place and where they end."""
    for phrase, make in _MAKERS:
        found = phrase.match(line, at)
        made = make(found) if found else None
        if found and made:
            return made, found.end()
    return None


def _value(text: str) -> Decimal | None:
    value = read_number(text)
    return value if isinstance(value, Decimal) else spelled_number(text)


def _factor(found: re.Match[str]) -> Changes | None:
    factor = Decimal(SCALES[found["scale"].lower()]) if found["scale"] else _value(found["many"])
    if not factor or factor <= 0 or (found["weaker"] and factor < 1):
        return None
    if not found["weaker"]:
        return [SetScale(factor, "strength")]
    weaker = 1 / factor
    # A third has no end in digits: the strength it gives would be no number that anybody asked for.
    return [SetScale(weaker, "strength")] if weaker * factor == 1 and len(weaker.as_tuple().digits) < 8 else None


def _basis(found: re.Match[str]) -> Changes:
    said = found["basis"].lower()
    if said not in _BASES:
        first, last = said[0], said.split()[-1].rpartition("/")[2][0]
        said = f"{'v' if first == 'v' else 'w'}/{'v' if last == 'v' else 'w'}"
    return [SetBasis(_BASES[said])]


def _bottle(found: re.Match[str]) -> Changes | None:
    percent = _value(re.sub(r"\s?(?:%|per ?cent|pct)$", "", found["percent"], flags=re.IGNORECASE))
    if percent is None:
        return None
    changes: Changes = [SetQuantity(Quantity(percent, "%"), "bottle")]
    if found["density"]:
        changes.append(SetQuantity(Quantity(Decimal(found["density"]), "g/mL")))
    return changes


def _in(found: re.Match[str]) -> Changes | None:
    value = _value(found["n"])
    return [SetNumber(value, "total")] if value is not None else None


def _class(found: re.Match[str]) -> Changes | None:
    count = _value(found["count"])
    who = words.WHO[found["who"].lower()] if found["who"] else "students"
    return [SetPeople(int(count), who)] if count and count == int(count) else None


_MAKERS = ((_FACTOR, _factor), (_BASIS, _basis), (_BOTTLE, _bottle), (_IN, _in), (_CLASS, _class))
