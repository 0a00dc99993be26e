"""The lexer of ``request.lark``: one compiled pattern for each kind of first character, and one for units.

Lark's own lexer reads the same patterns at about three times the cost, because it also counts lines, matches the
spaces one by one and builds a heavier token.
"""

import re
from collections.abc import Callable, Iterator
from functools import cached_property, lru_cache
from typing import Any, TypeAlias

from lark.lexer import Lexer

from grammar import words
from grammar.formula import (
    BODY_PATTERN,
    CLOSED,
    HYDRATE_FORMULA_PATTERN,
    HYDRATE_WORD_PATTERN,
    ION_PATTERN,
    WATER_PATTERN,
    read_formula,
)
from grammar.hydrates import PREFIXES
from grammar.numbers import NUMBER_PATTERN, SPELLED
from grammar.units import UNIT_PATTERN, UNIT_WORD

_LETTER = r"[^\W\d_]"
_NUMBERS = r"\d{1,2}(?:,\d{1,2})*"
_BRACKETED = rf"{CLOSED}(?=[A-Za-z0-9]{{0,20}}[(\[][A-Z])(?![A-Za-z0-9]*\((?:[IViv]+|0)\)){BODY_PATTERN}"
_ADDUCT = r"[A-Z][A-Za-z0-9]{1,20}\s?[.*]\s?\d?(?:HCl|HBr|HNO3|H2SO4)(?:\s?\.\s?\d?H2O)?(?![A-Za-z0-9])"
_ATOMS = r"(?:[A-Z][a-z]?\d{0,2})"
_BRACKET_INSIDE = (
    rf"{_ATOMS}{{0,6}}(?:\((?!(?:[IViv]+|0)\)){_ATOMS}{{1,8}}\)\d{{0,2}}{_ATOMS}{{1,6}}){{1,4}}(?![a-z(\[])"
)
# "tris(hydroxymethyl)aminomethane", "poly(ethylene glycol)": one name, unless an oxidation state stands in the brackets.
_GLUED = rf"{_LETTER}[\w-]{{1,30}}\((?!(?:0|[IViv]+)\))[\w,'-]{{2,30}}\)-?{_LETTER}[\w-]*|[Pp]oly\([a-z ]{{3,30}}\)"
# "4-(2-hydroxyethyl)-1-piperazineethanesulfonic", "n,n'-methylenebis(acrylamide)": brackets and hyphens without a space.
_SYSTEMATIC = (
    r"(?=\S{0,60}(?:-[(\[]|[)\]]-?[a-z]{3}|'-|[a-z]{3}\((?!anhyd|hydr|conc|solid|dilut|pellets|glacial)[a-z]{5,}\)))"
    r"(?!\S{0,40}\((?:0|[IViv,]+)\))[A-Za-z\d(][\w,'()\[\]-]{3,80}(?<=[\w)\]])(?![\w.])"
)
# "bicarbonate of soda", "bichromate of potash"
_OLD_NAME = (
    r"[A-Za-z]{2,20}(?:ate|ide|ite)\sof\s"
    r"(?:soda|potash|lime|magnesia|ammonia|iron|copper|zinc|lead|silver|mercury|baryta|strontia|alumina)(?!\w)"
    r"|(?i:polyethylene\sglycol|polysorbate|peg|tween|macrogol)\s?\d{2,5}(?![\w.,]*\d|\s?%)"
)
_CHARGED = re.compile(r"\^?\d?[+-]$")

_COUNTS = "|".join(sorted((w for w, n in SPELLED.items() if n > 1), key=len, reverse=True)) + "|hundred|thousand"

# Tried in this order at every place in the text. UNIT is tried only straight after a NUMBER, so M, N, C, g and "in" are
# words everywhere else.
PATTERNS: dict[str, str] = {
    "SYSTEMATIC": _SYSTEMATIC,
    "HYDRATE": rf"(?:[.*+-]\s?|x\s(?=\d))?{WATER_PATTERN}|(?:[.*+]\s?)?{HYDRATE_WORD_PATTERN}",
    "ION": ION_PATTERN,
    # A formula with its water, or one with brackets; plain ones such as K2CrO4 are found by the WORD look-up.
    "FORMULA": rf"{HYDRATE_FORMULA_PATTERN}|{_BRACKET_INSIDE}|{_BRACKETED}(?<=[\])0-9])(?![A-Za-z])|{_ADDUCT}",
    "CAS": r"\d{2,7}-\d{2}-\d(?![\d-])",
    "ASIDE_NUMBER": words.ASIDE_NUMBER_PATTERN,
    "DECIMOLAR": r"(?i:(?:deci|centi|semi)[-\s]?(?:normal|molar))(?!\w)|(?<![\w\/])[MN]\s?\/\s?\d{1,4}(?![\w.,]*\d| 0)",
    # "2,4-dinitro...", "1-butanol": a locant belongs to the word it is glued to, unless that word is a unit.
    "LOCANT": rf"{_NUMBERS}-(?!{UNIT_PATTERN})(?:[A-Za-z]{{3,}}(?:-(?:{_NUMBERS}-)?[A-Za-z]+)*|D(?!\w))",
    "FOLD": rf"(?:\d{{1,7}}(?:\.\d+)?|(?i:{_COUNTS}))(?:(?i:[-\s]?fold|[-\s]times)(?!\w)|\s?[xX](?=\sdilut))"
    r"|(?i:equal\svolume\sof\s(?:distilled\s|deioni[sz]ed\s)?water)(?!\w)",
    "RATIO": rf"\d+\s?:\s?\d+(?:\s?:\s?\d+)*(?!\.?\d|\s?{UNIT_WORD})|\d+\s?\+\s?\d+(?![\w.])"
    rf"|(?:\d{{1,3}}|(?i:one))\s(?i:parts?\s)?(?i:in|to|plus)\s"
    rf"(?:\d{{1,6}}(?!\s?{UNIT_WORD}|[\w.,:/]*\d)|(?i:{_COUNTS})(?!\w))",
    # "100 mL x2": said after a volume; "x 5 H2O" and "x 500 mL" are something else.
    "TIMES": rf"[xX][1-9]\d{{0,2}}(?![\w.]|\s?{UNIT_WORD})"
    r"|[xX]\s?[1-9]\d{0,2}(?=\s*(?:[,;)](?!\d)|\.\s|\.?$)|\sof\b)",
    "NUMBER": NUMBER_PATTERN,
    "OXIDATION": r"\((?:0|II,\s?III|IV|V?I{1,3}|VI?|i{1,3}|iv|vi{0,3})\)",
    "SYMBOL": rf"[DL]-{_LETTER}+(?:-{_LETTER}+)*",
    "WORD": rf"{_OLD_NAME}|{_GLUED}|{words.phrase_pattern()}"
    rf"|{_LETTER}\w*(?:[-'](?:{_NUMBERS}-(?!water|hydrate|aq))?{_LETTER}\w*)*",
    "PER_VOLUME": r"(?i:(?:per|a)\s(?:litre|liter|l|dm3|100\s?ml|ml))(?!\w)"
    r"(?!\s(?i:vol|volumetric|flask|beaker|conical|graduated|measuring|standard|bottle))"
    r"|/\s?(?:L|l|dm3|100\s?m[lL]|m[lL])(?!\w)",
    "EQUALS": "=",
    "PAREN": r"[()\[\]]",
    "BREAK": r"[,:|]|\.{2,}",
    "STOP": r"[.;!?]",
    "JUNK": r"\S",
}
_STARTS_WITH_DIGIT = ("SYSTEMATIC", "HYDRATE", "CAS", "FOLD", "LOCANT", "RATIO", "NUMBER", "JUNK")
_STARTS_WITH_LETTER = (
    *(
        "SYSTEMATIC",
        "HYDRATE",
        "ION",
        "FORMULA",
        "ASIDE_NUMBER",
        "DECIMOLAR",
        "FOLD",
        "RATIO",
        "TIMES",
        "PER_VOLUME",
        "SYMBOL",
    ),
    *("WORD", "JUNK"),
)
_PHRASE = tuple(n for n in _STARTS_WITH_LETTER if n not in ("SYSTEMATIC", "HYDRATE", "ION", "FORMULA"))
_STARTS_OTHERWISE = (
    "SYSTEMATIC",
    "HYDRATE",
    "FORMULA",
    "NUMBER",
    "OXIDATION",
    "PER_VOLUME",
    "WORD",
    "EQUALS",
    "PAREN",
    "BREAK",
    "STOP",
    "JUNK",
)


Match: TypeAlias = Callable[[str, int], "re.Match[str] | None"]


def _either(names: tuple[str, ...]) -> re.Pattern[str]:
    return re.compile("|".join(f"(?P<{name}>{PATTERNS[name]})" for name in names))


class Piece(str):
    """A piece of the text with its type and place; a string, so that it can be looked up and joined as it is."""

    __slots__ = ("end_pos", "start_pos", "type")
    # Lark asks the last token of a text where it ended.
    line = column = end_line = end_column = 1

    type: str
    start_pos: int
    end_pos: int


@lru_cache(maxsize=4096)
def word_type(word: str) -> str:
    """The type of a word or phrase: its class in ``grammar.words``, else FORMULA when it reads as one, else WORD."""
    found = words.PHRASES.get(word.lower())
    if found is not None and word not in words.CASED:
        return found[0]
    return "WORD" if read_formula(word) is None else "FORMULA"


# Most pieces are a plain word or a number with one of five units. They are cut without trying every pattern, unless a
# longer one may begin there: a phrase, a hydrate, a number in words.
_PLAIN_WORD = re.compile(r"[a-z]{2,30}(?=[ ,;)]|$)")
_PLAIN_CAPITAL = re.compile(r"[A-Z][A-Za-z0-9]{0,20}(?=[ ,;)]|$)")
_PLAIN_AMOUNT = re.compile(r"(\d{1,5}(?:\.\d{1,5})?)\s?(mL|ml|mM|M|L)(?=[ ,;)]|$)")
_OPENS_LONGER = frozenset(
    {
        *SPELLED,
        "hundred",
        "thousand",
        "one",
        "per",
        "equal",
        "poly",
        "polyethylene",
        "polysorbate",
        "peg",
        "tween",
        "macrogol",
    }
    | {*words.ASIDE_NUMBER_WORDS}
)
_OPENS_HYDRATE = frozenset(
    {*PREFIXES, "variable", "water", "hydrated", "anhydrous", "anh", "anhyd", "deci", "centi"} | {"semi"}
)
# Of a phrase: its first word, then how it goes on, by a space and two letters.
_GOES_ON_WITH: dict[str, set[str]] = {}
for _words in words.PHRASES:
    if " " in _words:
        _first, _, _rest = _words.partition(" ")
        _GOES_ON_WITH.setdefault(_first, set()).add(f" {_rest[:2]}")
_NOTHING: frozenset[str] = frozenset()
# What may follow a formula and belong to it: its water, and the rest of "M / 10" or "chloride of lime".
_GOES_ON = ("H2", "h2", " /", " of ")
# "800 mL of H2O.": water that something is dissolved in, never that of a crystal.
_WATER, _POURS = frozenset(("H2O", "h2o", "H20", "h20")), frozenset(("UNIT", "OF", "WITH", "IN", "BY"))
_SPECIAL_ENDS = ("hydrate", "hydrated", "fold", "normal", "molar")


class RequestLexer(Lexer):
    """Cuts any text into pieces: what nothing else matches becomes JUNK."""

    __future_interface__ = 1

    def __init__(self, _conf: Any = None) -> None:
        """Nothing is compiled yet: an ordinary line needs few of the patterns, and compiling all is half of a start."""

    @cached_property
    def _unit(self) -> Match:
        return re.compile(rf"\s*({UNIT_PATTERN})").match

    @cached_property
    def _digit(self) -> Match:
        return _either(_STARTS_WITH_DIGIT).match

    @cached_property
    def _letter(self) -> Match:
        return _either(_STARTS_WITH_LETTER).match

    @cached_property
    def _phrase(self) -> Match:
        return _either(_PHRASE).match

    @cached_property
    def _other(self) -> Match:
        return _either(_STARTS_OTHERWISE).match

    def lex(self, lexer_state: Any, _parser_state: Any) -> Iterator[Any]:
        """The pieces of ``lexer_state.text`` from left to right; spaces are dropped."""
        before = ""
        text: str = lexer_state.text if isinstance(lexer_state.text, str) else lexer_state.text.text
        position, end = 0, len(text)
        while True:
            while position < end and text[position] == " ":
                position += 1
            if position == end:
                return
            first = text[position]
            if "0" <= first <= "9":
                amount = _PLAIN_AMOUNT.match(text, position)
                if amount is not None:
                    yield piece("NUMBER", amount[1], position, amount.end(1))
                    yield piece("UNIT", amount[2], amount.start(2), amount.end())
                    position, before = amount.end(), "UNIT"
                    continue
            found = self._cut(text, position, first)
            if found is None:
                position += 1
                continue
            kind, matched, start, position = found.lastgroup or "WORD", found[0], found.start(), found.end()
            if kind == "WORD":
                kind = word_type(matched)
            elif kind == "SYSTEMATIC":
                kind = "WORD"
            elif kind == "ION":
                kind, matched = "FORMULA", _CHARGED.sub("", matched)
            elif kind == "HYDRATE" and matched in _WATER and before in _POURS:
                kind = "WATER"
            before = kind
            yield piece(kind, matched, start, position)
            if kind == "NUMBER":
                unit = self._unit(text, position)
                if unit is not None:
                    yield piece("UNIT", unit[1], unit.start(1), unit.end())
                    position, before = unit.end(), "UNIT"

    def _cut(self, text: str, position: int, first: str) -> re.Match[str] | None:
        """What stands at a place, by the kind of its first character; None for a space of an unusual kind."""
        if "a" <= first <= "z":
            plain = _PLAIN_WORD.match(text, position)
            if plain is not None and plain[0] not in _OPENS_HYDRATE and not plain[0].endswith(_SPECIAL_ENDS):
                return self._phrase(text, position) if _may_be_longer(plain[0], text, plain.end()) else plain
            return self._letter(text, position)
        if "A" <= first <= "Z":
            plain = _PLAIN_CAPITAL.match(text, position)
            if plain is not None:
                word, following = plain[0].lower(), text[plain.end() : plain.end() + 14]
                special = (
                    _may_be_longer(word, text, plain.end()) or word in _OPENS_HYDRATE or word.endswith(_SPECIAL_ENDS)
                )
                if not special and not any(mark in following for mark in _GOES_ON):
                    return plain
        if first.isalpha():
            return self._letter(text, position)
        return self._digit(text, position) if first.isdigit() else self._other(text, position)


def _may_be_longer(word: str, text: str, end: int) -> bool:
    """Whether a lower-case word ending at ``end`` may open a phrase, a number in words or an old name ("chloride of lime")."""
    following = text[end : end + 3].lower()
    if following[1:2].isdigit() and word in words.NUMBERED_HEADINGS:
        return True
    if following == " of" and word.endswith(("ate", "ide", "ite")):
        return True
    return word in _OPENS_LONGER or following in _GOES_ON_WITH.get(word, _NOTHING)


def piece(kind: str, text: str, start: int, end: int) -> Piece:
    """A piece of that type, with the place it has in the normalised text."""
    made = Piece(text)
    made.type, made.start_pos, made.end_pos = kind, start, end
    return made
