"""The Lark parser of ``request.lark``: normalised text in, a flat list of typed chunks out."""

from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeAlias

from lark import Lark, Token, Transformer
from lark.lexer import PatternRE, TerminalDef

from grammar import words
from grammar.formula import BODY_PATTERN, HYDRATE_FORMULA_PATTERN, HYDRATE_WORD_PATTERN, WATER_PATTERN, read_formula
from grammar.numbers import NUMBER_PATTERN, NumberProblem, read_number
from grammar.request import Quantity
from grammar.units import UNIT_PATTERN, dimension, read_unit

_LETTER = r"[^\W\d_]"
_NUMBERS = r"\d{1,2}(?:,\d{1,2})*"
_BRACKETED = rf"(?=[A-Za-z0-9]{{0,20}}[(\[][A-Z])(?![A-Za-z0-9]*\((?:[IViv]+|0)\)){BODY_PATTERN}"
_PATTERNS = {
    # A formula with its water, or one with brackets; plain ones such as K2CrO4 are found by the WORD look-up.
    "FORMULA": rf"{HYDRATE_FORMULA_PATTERN}|{_BRACKETED}(?<=[\])0-9])(?![A-Za-z])",
    "HYDRATE": rf"(?:[.*+-]\s?|x\s(?=\d))?{WATER_PATTERN}|{HYDRATE_WORD_PATTERN}",
    "ASIDE_NUMBER": words.ASIDE_NUMBER_PATTERN,
    # "2,4-dinitro...", "1-butanol": a locant belongs to the word it is glued to, unless that word is a unit.
    "LOCANT": rf"{_NUMBERS}-(?!{UNIT_PATTERN})[A-Za-z]{{3,}}(?:-(?:{_NUMBERS}-)?[A-Za-z]+)*",
    "UNIT": UNIT_PATTERN,
    "NUMBER": NUMBER_PATTERN,
    "SYMBOL": rf"[DL]-{_LETTER}+(?:-{_LETTER}+)*",
    "WORD": rf"{words.phrase_pattern()}|{_LETTER}\w*(?:[-']{_LETTER}\w*)*",
}


class Amount:
    """A quantity or a bare number with its place in the normalised text."""

    __slots__ = ("end_pos", "kind", "problem", "quantity", "start_pos", "text", "type", "unit_text", "value")

    def __init__(self, number: Token, unit: Token | None) -> None:
        self.type = "QUANTITY" if unit is not None else "NUMBER"
        self.text = str(number)
        self.unit_text = str(unit) if unit is not None else ""
        self.start_pos: int = number.start_pos or 0
        self.end_pos: int = (unit if unit is not None else number).end_pos or 0
        self.kind = ""
        self.quantity: Quantity | None = None
        self.value: Decimal | None = None
        self.problem: NumberProblem | None = None

    def settle(self, habit: str | None) -> None:
        """Read the digits, now that the use of commas on this line is known."""
        value = read_number(self.text, habit)
        if isinstance(value, NumberProblem):
            self.problem = value
            return
        self.value = value
        if self.unit_text:
            key = read_unit(self.unit_text)
            if key is None:
                self.problem = NumberProblem("unknown-unit")
                return
            self.kind = dimension(key)
            self.quantity = Quantity(value, key)


Chunk: TypeAlias = Token | Amount


class _Chunks(Transformer[Token, list[Chunk]]):
    """Runs inside the parser: each amount becomes one chunk, other tokens pass through."""

    def start(self, children: list[Chunk]) -> list[Chunk]:
        return children

    def quantity(self, children: list[Token]) -> Amount:
        return Amount(children[0], children[1])

    def number(self, children: list[Token]) -> Amount:
        return Amount(children[0], None)

    def fraction(self, children: list[Token]) -> Amount:
        """ "M/10" is one tenth molar."""
        letter, _, below = str(children[0]).replace(" ", "").partition("/")
        amount = Amount(children[0], None)
        amount.type, amount.text, amount.unit_text = "QUANTITY", f"1/{below}", letter
        return amount


def _word_class(token: Token) -> Token:
    """Give a word the type of its phrase, or FORMULA when it reads as one."""
    found = words.PHRASES.get(token.lower())
    if found is not None and str(token) not in words.CASED:
        token.type = found[0]
    elif read_formula(str(token)) is not None:
        token.type = "FORMULA"
    return token


def _set_pattern(terminal: TerminalDef) -> None:
    pattern = _PATTERNS.get(terminal.name)
    if pattern is not None:
        terminal.pattern = PatternRE(pattern)


@lru_cache(maxsize=1)
def parser() -> Lark:
    """The parser, built once per process."""
    return Lark(
        Path(__file__).with_name("request.lark").read_text(encoding="utf-8"),
        parser="lalr",
        lexer="contextual",
        transformer=_Chunks(),
        edit_terminals=_set_pattern,
        lexer_callbacks={"WORD": _word_class},
    )


def chunks(text: str, habit: str | None) -> list[Chunk]:
    """The typed chunks of a normalised text. Any text has chunks: what nothing matches becomes JUNK."""
    found: Any = parser().parse(text)
    for chunk in found:
        if isinstance(chunk, Amount):
            chunk.settle(habit)
    return list(found)


def payload(token: Token) -> str:
    """What the phrase table says about a token: the plural of WHO, the kind of VESSEL, the solvent."""
    return words.PHRASES[token.lower()][1]
