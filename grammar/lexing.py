"""The Lark parser of ``request.lark``: normalised text in, a flat list of typed chunks out."""

import re
from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeAlias

from lark import Lark, Transformer

from grammar import words
from grammar.numbers import NumberProblem, read_number
from grammar.request import Quantity
from grammar.tokens import Piece, RequestLexer
from grammar.units import dimension, read_unit

# "6 x 100 mL" is six lots; "5 x 103 mL" has lost a superscript.
_LOTS = re.compile(r"([1-9]\d{0,2})\s?[x*]\s?(10+)")
_BELOW = {"deci": "10", "cent": "100", "semi": "2"}
# Nobody makes a megalitre on a bench: below this number, ML in capitals is a millilitre.
LARGEST_ML = 10_000


class Amount:
    """A quantity or a bare number with its place in the normalised text."""

    __slots__ = (
        "end_pos",
        "kind",
        "lots",
        "note",
        "problem",
        "quantity",
        "start_pos",
        "text",
        "type",
        "unit_text",
        "value",
    )

    def __init__(self, number: Piece, unit: Piece | None) -> None:
        self.type = "QUANTITY" if unit is not None else "NUMBER"
        self.text = str(number)
        self.unit_text = str(unit) if unit is not None else ""
        self.start_pos: int = number.start_pos
        self.end_pos: int = (unit if unit is not None else number).end_pos
        self.kind = ""
        self.quantity: Quantity | None = None
        self.value: Decimal | None = None
        self.problem: NumberProblem | None = None
        self.lots: int | None = None
        self.note = ""

    def settle(self, habit: str | None) -> None:
        """Read the digits, now that the use of commas on this line is known."""
        value = read_number(self.text, habit)
        key = read_unit(self.unit_text) if self.unit_text else None
        self.kind = dimension(key) if key is not None else ""
        if isinstance(value, NumberProblem):
            lots = _LOTS.fullmatch(self.text) if self.kind == "volume" else None
            if lots is None:
                self.problem = value
                return
            self.lots, value = int(lots[1]), Decimal(lots[2])
        self.value = value
        if key == "ML" and value < LARGEST_ML and not self.unit_text.lower().startswith("mega"):
            self.note = f"{self.text} {self.unit_text} read as {self.text} mL"
            self.kind, key = "volume", "mL"
        if key is not None:
            self.quantity = Quantity(value, key)
        elif self.unit_text:
            self.problem = NumberProblem("unknown-unit")


Chunk: TypeAlias = Piece | Amount


class _Chunks(Transformer[Piece, list[Chunk]]):
    """Runs inside the parser: each amount becomes one chunk, other tokens pass through."""

    def start(self, children: list[Chunk]) -> list[Chunk]:
        return children

    def quantity(self, children: list[Piece]) -> Amount:
        return Amount(children[0], children[1])

    def number(self, children: list[Piece]) -> Amount:
        return Amount(children[0], None)

    def fraction(self, children: list[Piece]) -> Amount:
        """ "M/10" and "decimolar" are one tenth molar."""
        typed = str(children[0])
        letter, _, below = typed.replace(" ", "").partition("/")
        if not below:
            letter, below = ("N" if "normal" in typed.lower() else "M"), _BELOW[typed[:4].lower()]
        amount = Amount(children[0], None)
        amount.type, amount.text, amount.unit_text = "QUANTITY", f"1/{below}", letter
        return amount


@lru_cache(maxsize=1)
def parser() -> Lark:
    """The parser, built once per process."""
    return Lark(
        Path(__file__).with_name("request.lark").read_text(encoding="utf-8"),
        parser="lalr",
        lexer=RequestLexer,
        transformer=_Chunks(),
    )


def chunks(text: str, habit: str | None) -> list[Chunk]:
    """The typed chunks of a normalised text. Any text has chunks: what nothing matches becomes JUNK."""
    found: Any = parser().parse(text)
    for chunk in found:
        if isinstance(chunk, Amount):
            chunk.settle(habit)
    return list(found)


def payload(token: Piece) -> str:
    """What the phrase table says about a token: the plural of WHO, the kind of VESSEL, the solvent."""
    return words.PHRASES[token.lower()][1]
