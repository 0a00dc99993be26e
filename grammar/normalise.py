"""Typed text made regular, with a way back to the place in the text as typed.

Only spelling is changed here (dots, subscripts, spaces, numbers in words); nothing is dropped.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass

from grammar.numbers import PARTS, POINT_PATTERN, SPELLED, spelled_number
from grammar.units import UNIT_WORD
from grammar.words import WHO

_SUBSCRIPTS = dict(zip("₀₁₂₃₄₅₆₇₈₉₊₋₍₎", "0123456789+-()", strict=True))
_SUPERSCRIPTS = dict(zip("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻", "0123456789+-", strict=True))
_SAME_LENGTH = {
    **_SUBSCRIPTS,
    **_SUPERSCRIPTS,
    **dict.fromkeys("·•∙⋅・‧●᛫⸱", "."),
    **dict.fromkeys("×✕✖", "x"),
    **dict.fromkeys("−–‒﹣", "-"),
    **dict.fromkeys("’‘´`", "'"),
    **dict.fromkeys("\u00a0\u2009\u202f\u2007\u2002\u2003\u2008\u200a\t\r\n\v\f", " "),
    **dict.fromkeys("µμ", "u"),
    **{"⁄": "/", "∕": "/", "／": "/", "℃": "C", "º": "°", "＊": "*", "∗": "*"},
    **{"—": ",", "“": '"', "”": '"', "ℓ": "l"},
    **{chr(code): chr(code - 0xFEE0) for code in range(0xFF01, 0xFF5E) if code != 0xFF0F and code != 0xFF0A},
}
_TABLE = str.maketrans(_SAME_LENGTH)
_DROPPED = re.compile("[\u200b\u200c\u200d\u2060\ufeff\u00ad]")
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅕": "1/5", "⅛": "1/8", "⅒": "1/10"}
_VULGAR_PATTERN = re.compile(r"(?:(\d)\s?)?([½¼¾⅓⅔⅕⅛⅒])")
_POWER_OF_TEN = re.compile(r"(?<=10)[⁺⁻]?[⁰¹²³⁴⁵⁶⁷⁸⁹]+(?!\w)")
_SPACES = re.compile(r"  +")
_PLURALS = [p + "s" for p in PARTS if p != "half"]
_NUMBER_WORD = "|".join(sorted([*SPELLED, "hundred", "thousand"], key=len, reverse=True))
_PART_WORD = "|".join(sorted([*PARTS, *_PLURALS], key=len, reverse=True))
_COUNTED = [
    *("classes", "sections", "lessons", "sets", "steps", "standards", "standard solutions", "dilutions", "serial"),
    *("flasks", "bottles", "ten-fold", "tenfold", "two-fold"),
]
_WHO_WORD = "|".join(sorted([*WHO, *_COUNTED], key=len, reverse=True))
_IN_WORDS = rf"(?:{_NUMBER_WORD}|a\s(?=hundred|thousand))(?:[\s-](?:and\s)?(?:{_NUMBER_WORD})){{0,7}}"
_AND_PART = rf"\sand\sa\s(?:{_PART_WORD})"
_PART = rf"(?:(?:a|an|one|{_NUMBER_WORD})[\s-])?(?:{_PART_WORD})(?:\sof)?(?:\san?)?"
_SPELLED = re.compile(
    rf"(?<![\w/.,-])(?i:{POINT_PATTERN}|{_IN_WORDS}(?:{_AND_PART})?"
    rf"|\d+(?:\.\d+)?{_AND_PART}|{_PART}|an?(?!\s(?:{_WHO_WORD})(?!\w)))"
    rf"(?=[\s-]{UNIT_WORD}|\s(?i:{_WHO_WORD})(?!\w))(?!\s(?i:vol|volume)s?(?!\w))"
)
# "two 250 mL bottles": two lots, never the number 2250.
_LOTS = re.compile(
    rf"(?<![\w/.,-])(?i:({_NUMBER_WORD}))(?=\s\d[\d.,]*\s?{UNIT_WORD}"
    r"\s(?i:bottles|flasks|beakers|portions|lots|samples|aliquots|tubes|batches|vials)(?!\w))"
)
# "a litre" is one litre; "a flask" is no number.
_ONE_UNIT = re.compile(rf"(?i:(?<![\w/.,-])an?)[\s-](?={UNIT_WORD})(?!(?i:vol|volume)(?!\w))")
_SYMBOLS = (
    "Ag|Al|As|B|Ba|Be|Bi|Br|C|Ca|Cd|Cl|Co|Cr|Cs|Cu|F|Fe|Hg|I|K|Li|Mg|Mn|Mo|N|Na|Ni|P|Pb|Rb|S|Sb|Se|Si|Sn|Sr|Ti|V|W|Zn"
)
# "8 groups of 4, each group ...": how many sit in a group changes nothing.
_GROUPS_OF = re.compile(r"(?<=\d )groups of \d{1,2}(?=\s?[,;.]|\s(?:each|and each|need)\b)")
_UNIT_SPLIT = re.compile(
    r"(?P<amount>(?<![\w.])\d[\d.,]*\s?(?:[mun]?g|m?mol|mEq|meq))\s(?P<what>[A-Za-z][A-Za-z0-9()+-]{0,20})"
    r"\s?/\s?(?P<below>L|l|mL|ml|dm3|lit(?:re|er)|kg)(?![\w])"
)
_SPELLED_WORDS = frozenset([*SPELLED, "hundred", "thousand", "point", *PARTS, *_PLURALS])
# l or I for 1, O for 0: only in a run that has a digit or is "O.", never at the end where "l" is a litre.
_MISTYPED = re.compile(
    r"(?<![\w.)\]-])(?=[lIoO\d.,]{0,9}\d|[oO][.,][lI\d])[lIoO\d][lIoO\d.,]{0,20}[oO\d](?=\s|-?[A-Za-z%µ]|$)"
)
_UNSURE = re.compile(r"[lIoO]")
_MAYBE_MISTYPED = re.compile(r"[lIoO][.,lIoO]{0,9}\d|\d[.,]?[lIoO]{1,9}[\d.,]|\d[oO]{1,9}(?:[\sA-Za-z%µ]|$)")
_PLUS_MINUS = re.compile(r"\+\s?/\s?-")
_ARROW = re.compile("→")
_GLUED_PH = re.compile(r"\bp[Hh](?=\d)")
# "0.1 M (mol dm-3)": the unit once more.
_UNIT_AGAIN = re.compile(r"(?:(?<=\dM )|(?<=\d M ))\(mol\s?(?:/|per\s)?\s?(?:dm-?\^?3|L|l|litre)(?:-1)?\)")
_SPLIT_WATER = re.compile(r"(?<=[\d.*])\s?H2 O\b")
# "thiamine · HCl", "thiamine.HCl": the salt of a base; a full stop before an acid has a space after it.
_SALT_DOT = re.compile(r"(?<=[a-z])(?:\s?[·•∙⋅]\s?|\.)(?=H(?:Cl|Br)\b)")
# "HC1" is hydrochloric acid: nobody writes the number of one atom.
_ONE_CHLORINE = re.compile(r"(?<=[A-Za-z)])C1(?![\w.])")
# "350 cc. of": the dot of an abbreviation, which ends no sentence.
_UNIT_DOT = re.compile(
    r"(?<=\d)(\s?(?:cc|c\.c|ml|mL|gm|gms|g|grms?|mg|cm3|lit))\.(?=\s(?:of|per|in|to|with|and|conc\.?|glacial|pure)\b)"
)
# "what weight (in grams) of": the unit the answer is wanted in; every answer has its unit.
_ANSWER_UNIT = re.compile(
    r"(?i:(?<=weight|volume|amount) |(?<=mass) )\(in (?:grams?|g|mL|milliliters|millilitres|L|liters|litres)\)(?= of)",
    re.I,
)
# "(1.00 mL = 100 ug F)": what a standard holds, said again for the use it is put to.
_HOLDS = re.compile(
    r"\s?[;,]?\s?\(?(?<![\d.])1(?:\.0+)?\s?m[lL]\s(?:=|contains)\s\d[\d.]*\s?[mun]?g\s(?:of\s)?[A-Z][A-Za-z0-9+-]{0,12}(?:\)|(?=[;,.]|$))"
)
_PER_ONE = re.compile(r"\bper\s1\s(?=(?:L|l|litre|liter|dm3)\b)")
# "0.1 (N)": the unit in brackets behind its number.
_UNIT_IN_BRACKETS = re.compile(r"(?<=\d)\s?\((N|M)\)(?=\s)")
_HYDRATE_SPACE = re.compile(r"(?<=[A-Za-z\d)\]])\s?([.*])\s?(?=(?:\d{0,2}|\d/\d|[xn])\s?\(?H2[O0]\b)")


@dataclass(frozen=True, slots=True)
class Normalised:
    """``text`` is regular; ``places`` gives the typed position of each character (None when nothing moved)."""

    text: str
    typed: str
    places: tuple[int, ...] | None = None
    notes: tuple[str, ...] = ()

    def span(self, start: int, end: int) -> tuple[int, int]:
        """The span of the typed text that a span of the normalised text came from."""
        if self.places is None:
            return start, end
        if start >= len(self.places):
            return len(self.typed), len(self.typed)
        last = self.places[min(end, len(self.places)) - 1] + 1 if end > start else self.places[start]
        # What "two" was replaced by stands where its last letter stood; it began behind the character before it.
        first = min(self.places[start], self.places[start - 1] + 1 if start else 0)
        while first < self.places[start] and self.typed[first].isspace():
            first += 1
        return first, max(last, first)


def _substitute(
    pattern: re.Pattern[str], replace: Callable[[re.Match[str]], str | None], text: str, places: list[int] | None
) -> tuple[str, list[int] | None]:
    """``re.sub`` that keeps the map; ``replace`` returns None to leave a match alone."""
    parts: list[str] = []
    moved: list[int] = []
    done = 0
    for match in pattern.finditer(text):
        new = replace(match)
        if new is None or new == match[0]:
            continue
        if places is None:
            places = list(range(len(text)))
        parts += [text[done : match.start()], new]
        moved += places[done : match.start()]
        inside = places[match.start() : match.end()]
        moved += [inside[min(i, len(inside) - 1)] for i in range(len(new) - 1)] + [inside[-1]] * bool(new)
        done = match.end()
    if not parts:
        return text, places
    assert places is not None
    return "".join(parts) + text[done:], moved + places[done:]


def _split_unit(match: re.Match[str]) -> str:
    """ "50 mg P/L" is 50 mg/L counted as P; "5 g glucose/L" is 5 g/L of glucose."""
    amount, what, below = match["amount"], match["what"], match["below"]
    counted = re.fullmatch(rf"(?:{_SYMBOLS})|CaCO3|NO[23]|PO4|NH[34]|SO4|SiO2|nitrogen|phosphorus", what.rstrip("-+"))
    return f"{amount}/{below} {'as ' if counted else 'of '}{what}"


def _spelled(match: re.Match[str]) -> str | None:
    if match[0].lower() in ("a", "an") and re.search(
        r"(?:\b|\d)(?:[mun]?g|[mun]?mol|moles?|grams?|grammes?)\s$", match.string[: match.start()]
    ):
        return None
    value = spelled_number(match[0])
    return None if value is None else f"{value.normalize():f}"


def _lots(match: re.Match[str]) -> str | None:
    count = spelled_number(match[1])
    return None if count is None else f"{count} x"


def _vulgar(match: re.Match[str]) -> str:
    return f"{match[1]} {_VULGAR[match[2]]}" if match[1] else _VULGAR[match[2]]


def _mistyped(match: re.Match[str]) -> str | None:
    if not _UNSURE.search(match[0]) or match[0] in ("I2", "O2", "O3"):
        return None
    return re.sub("[oO]", "0", re.sub("[lI]", "1", match[0]))


def normalise(typed: str) -> Normalised:
    """Make the text regular. Plain ASCII with no spelled numbers passes through unchanged."""
    text = typed
    places: list[int] | None = None
    notes: tuple[str, ...] = ()
    if "HCl" in text or "HBr" in text:
        text, places = _substitute(_SALT_DOT, lambda _: " ", text, places)
    if not text.isascii():
        text, places = _substitute(_DROPPED, lambda _: "", text, places)
        text, places = _substitute(_VULGAR_PATTERN, _vulgar, text, places)
        text, places = _substitute(_POWER_OF_TEN, lambda m: "^" + m[0].translate(_TABLE), text, places)
        text = text.translate(_TABLE)
    elif "\n" in text or "\t" in text or "`" in text:
        text = text.translate(_TABLE)
    if "  " in text:
        text, places = _substitute(_SPACES, lambda _: " ", text, places)
    words = text.lower().replace("-", " ").split()
    if not _SPELLED_WORDS.isdisjoint(words) or (("a" in words or "an" in words) and _ONE_UNIT.search(text)):
        text, places = _substitute(_SPELLED, _spelled, text, places)
        text, places = _substitute(_LOTS, _lots, text, places)
    if _MAYBE_MISTYPED.search(text):
        before = text
        text, places = _substitute(_MISTYPED, _mistyped, text, places)
        if text != before:
            notes = ("l read as 1 or O as 0 inside a number",)
    if "." in text:
        text, places = _substitute(_UNIT_DOT, lambda m: m[1], text, places)
    if "(in " in text:
        text, places = _substitute(_ANSWER_UNIT, lambda _: "", text, places)
    if "= " in text or "contains " in text:
        before = text
        text, places = _substitute(_HOLDS, lambda _: "", text, places)
        if text != before:
            notes = (*notes, "what 1 mL is said to hold is not compared with the rest")
    if "per 1 " in text:
        text, places = _substitute(_PER_ONE, lambda _: "per ", text, places)
    if "(N)" in text or "(M)" in text:
        text, places = _substitute(_UNIT_IN_BRACKETS, lambda m: f" {m[1]}", text, places)
    if "groups of" in text:
        text, places = _substitute(_GROUPS_OF, lambda _: "groups", text, places)
    if "/" in text:
        text, places = _substitute(_UNIT_SPLIT, _split_unit, text, places)
    if "/-" in text:
        text, places = _substitute(_PLUS_MINUS, lambda _: "±", text, places)
    if "→" in text:
        text, places = _substitute(_ARROW, lambda _: "->", text, places)
    if "pH" in text or "ph" in text:
        text, places = _substitute(_GLUED_PH, lambda _: "pH ", text, places)
    if "(mol" in text:
        text, places = _substitute(_UNIT_AGAIN, lambda _: " ", text, places)
    if "C1" in text:
        text, places = _substitute(_ONE_CHLORINE, lambda _: "Cl", text, places)
    if "H2 O" in text:
        text, places = _substitute(_SPLIT_WATER, lambda _: "H2O", text, places)
    if "H2" in text:
        text, places = _substitute(_HYDRATE_SPACE, lambda _: ".", text, places)
    return Normalised(text, typed, None if places is None else tuple(places), notes)
