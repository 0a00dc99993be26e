"""From chunks to facts: every quantity, name and phrase with the clause it stood in.

One pass from left to right. A clause is opened by a preposition ("from", "in", "for", "to") or a word such as
"concentrated", and closed by the next one; ``grammar.reader`` then decides what each fact is for.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Literal

from grammar.formula import ELEMENTS
from grammar.lexing import Amount, Chunk
from grammar.request import Quantity
from grammar.tokens import Piece, piece, word_type
from grammar.units import ASKED, near_units, read_unit
from grammar.words import GENERIC, MARKS

if TYPE_CHECKING:
    from grammar.ratios import Dilution

Place = Literal["open", "source", "solvent", "medium"]
NAME_TYPES = frozenset(("WORD", "FORMULA", "HYDRATE", "OXIDATION", "LOCANT", "CAS", "SYMBOL"))
#: Words that begin what is done to make the solution said before them.
_TAKING = frozenset(("DILUTE", "FROM", "TRANSFER", "ADD"))
JOINING = frozenset(("AND", "OR"))
JOINERS = frozenset(("OF", "EQUALS", "FILLER", "COMMAND", "BREAK", "AT", "APPROX", "AS", "LABEL"))


@dataclass(slots=True)
class Fact:
    """A quantity and the clause it stood in.

    ``loose``: a comma stood between it and its clause; ``stock``: the word "stock" follows it.
    """

    amount: Amount
    place: Place
    loose: bool
    after_to: bool
    stock: bool = False

    @property
    def quantity(self) -> Quantity:
        assert self.amount.quantity is not None
        return self.amount.quantity


@dataclass(slots=True)
class Run:
    """Consecutive words of a name."""

    tokens: list[Piece]
    place: Place
    bracketed: bool
    joined_by: str

    @property
    def start(self) -> int:
        return self.tokens[0].start_pos

    @property
    def end(self) -> int:
        return self.tokens[-1].end_pos


# "nitrate-N": a strength of the ion, counted by its element.
_COUNTED = re.compile(r"(?i:(nitrate|nitrite|ammonium|ammonia|phosphate|sulfate|sulphate|NO3|NO2|NH4|NH3|PO4))-(N|P|S)")


# "c(AgNO3) = 0.1 mol/L": the quantity symbol of an amount concentration, and what it is of.
_CONCENTRATION_OF = re.compile(r"c\((.+)\)")
_LOTS = re.compile(r"[xX]\d{1,4}")


class ReadingError(Exception):
    """A chunk that cannot be read, with the code of ``grammar.misreadings`` and the chunk's span."""

    def __init__(self, code: str, start: int, end: int, detail: str = "", readings: tuple[str, ...] = ()) -> None:
        super().__init__(code)
        self.code, self.start, self.end, self.detail, self.readings = code, start, end, detail, readings


@dataclass(slots=True)
class Facts:
    """Everything found in one text, before roles are given."""

    strengths: list[Fact] = field(default_factory=list)
    volumes: list[Fact] = field(default_factory=list)
    masses: list[Fact] = field(default_factory=list)
    label_strength: Quantity | None = None
    also: Quantity | None = None
    purity: Quantity | None = None
    density: Quantity | None = None
    temperature: Quantity | None = None
    kept_at: Quantity | None = None
    dried: bool = False
    ph: Decimal | None = None
    ph_at: int | None = None
    runs: list[Run] = field(default_factory=list)
    source_opener: str = ""
    source_words: set[str] = field(default_factory=set)
    vessels: list[tuple[str, Quantity | None, str | None]] = field(default_factory=list)
    vessel_volume: Fact | None = None
    verbs: list[int] = field(default_factory=list)
    to_mark: bool = False
    to_make: bool = False
    solvent: str | None = None
    medium: Fact | None = None
    moles: Fact | None = None
    solvent_volume: bool = False
    each: Fact | None = None
    each_who: str = ""
    counts: list[tuple[int, str]] = field(default_factory=list)
    class_size: int | None = None
    group_size: int | None = None
    sets: int | None = None
    spare: Decimal | None = None
    purposes: set[str] = field(default_factory=set)
    mixing: bool = False
    diluted: bool = False
    reaction: tuple[int, int] | None = None
    basis: str | None = None
    counted: str | None = None
    dilution: "Dilution | None" = None
    dilution_said: bool = False
    repeats: int | None = None
    series: list[Fact] = field(default_factory=list)
    series_named: str = ""
    series_count: int | None = None
    range: tuple[int, int] | None = None
    range_of: tuple[Decimal, Quantity] | None = None
    blank: bool = False
    added_water: tuple[int, int] | None = None
    water_in: tuple[int, int] | None = None
    water_volumes: list[tuple[int, int]] = field(default_factory=list)
    water_mass: Fact | None = None
    molar_masses: list[Amount] = field(default_factory=list)
    spare_amount: Fact | None = None
    notes: list[str] = field(default_factory=list)
    aside: list[tuple[int, int]] = field(default_factory=list)
    odd: list[Piece] = field(default_factory=list)


class Scanner:
    """Walks over the chunks once; ``facts`` holds the result."""

    def __init__(self, chunks: list[Chunk]) -> None:
        self.chunks = chunks
        self.facts = Facts()
        self.place: Place = "open"
        self.loose = False
        self.after_to = False
        self.depth = 0
        self.run: Run | None = None
        self.joined_by = ""
        self.i = 0

    def scan(self, handlers: dict[str, Callable[["Scanner", Any], None]]) -> Facts:
        """Give every chunk to the handler of its type. Raises ``ReadingError`` at the first unreadable amount."""
        chunks = self.chunks
        while self.i < len(chunks):
            chunk = chunks[self.i]
            kind = chunk.type
            self.i += 1
            if kind in NAME_TYPES:
                self.name(chunk)  # type: ignore[arg-type]
                continue
            if kind == "OF" and self._of_inside_a_name():
                self.name(chunk)  # type: ignore[arg-type]
                continue
            self.run = None
            if kind in _TAKING:
                self.facts.verbs.append(chunk.start_pos)
            handler = handlers.get(kind)
            if handler is not None:
                handler(self, chunk)
            elif kind in JOINING:
                self.joined_by = kind
        return self.facts

    # -- looking around -------------------------------------------------------------------------------------------

    def ahead(self, skip: frozenset[str], start: int | None = None) -> tuple[int, str]:
        """Index and type of the next chunk that is not of a type to skip; type "" at the end."""
        j = self.i if start is None else start
        while j < len(self.chunks) and self.chunks[j].type in skip:
            j += 1
        return j, self.chunks[j].type if j < len(self.chunks) else ""

    def amount(self, j: int) -> Amount | None:
        """The amount at an index, checked; None when something else stands there."""
        chunk = self.chunks[j] if j < len(self.chunks) else None
        if not isinstance(chunk, Amount):
            return None
        self.check(chunk)
        return chunk

    def check(self, amount: Amount) -> None:
        """Stop at an amount whose number or unit has no safe reading."""
        problem, unit = amount.problem, amount.unit_text
        if problem is not None and problem.code == "unknown-unit":
            readings = tuple(f"{amount.text} {near}" for near in near_units(unit))
            raise ReadingError("unknown-unit", amount.start_pos, amount.end_pos, unit, readings)
        if problem is not None:
            readings = tuple(f"{reading} {unit}".rstrip() for reading in problem.readings)
            raise ReadingError(problem.code, amount.start_pos, amount.end_pos, "", readings)
        if amount.kind == "asked" and amount.quantity is not None:
            why, sizes = ASKED[amount.quantity.unit]
            readings = tuple(
                f"{(amount.quantity.value * Decimal(size)).normalize():f} {known}" for size, known in sizes
            )
            raise ReadingError("unit-asked", amount.start_pos, amount.end_pos, why, readings)

    def _of_inside_a_name(self) -> bool:
        """ "spirits of nitre": between two words of a name."""
        following = self.chunks[self.i] if self.i < len(self.chunks) else None
        return (
            self.run is not None
            and self.run.tokens[-1].type == "WORD"
            and following is not None
            and following.type == "WORD"
        )

    # -- names ----------------------------------------------------------------------------------------------------

    def name(self, token: Piece) -> None:
        """Add a word to the name being read, or begin one."""
        following = self.chunks[self.i] if self.i < len(self.chunks) else None
        if len(token) == 1 and token in "cCVvm" and following is not None and following.type == "EQUALS":
            return
        if token in MARKS and self.facts.runs:
            return
        if self.depth and self._repeats_unit(token):
            return
        if _LOTS.fullmatch(token):
            raise ReadingError("number-without-role", token.start_pos, token.end_pos, str(token))
        held = _CONCENTRATION_OF.fullmatch(token) if token.startswith("c(") else None
        if held is not None:
            token = piece(word_type(held[1]), held[1], token.start_pos + 2, token.end_pos - 1)
        split = _COUNTED.fullmatch(token) if "-" in token else None
        if split is not None:
            self.facts.counted = split[2]
            token = piece(word_type(split[1]), split[1], token.start_pos, token.end_pos)
        elif len(token) == 1 and token in ELEMENTS and self._counts_letter(following):
            token = piece("FORMULA", str(token), token.start_pos, token.end_pos)
        elif token in ELEMENTS and self._counts_element(following):
            counted = self.chunks[self.i - 2]
            assert isinstance(counted, Amount)
            assert counted.quantity is not None
            counted.quantity = Quantity(counted.quantity.value, counted.quantity.unit, str(token))
            return
        if self.run is None:
            self.run = Run([token], self.place, self.depth > 0, self.joined_by)
            self.facts.runs.append(self.run)
            self.joined_by = ""
        else:
            self.run.tokens.append(token)

    def _repeats_unit(self, token: Piece) -> bool:
        """ "20 millimolar (mM)": the unit of the amount before the bracket, once more."""
        before = self.chunks[self.i - 3] if self.i > 2 else None
        return isinstance(before, Amount) and before.quantity is not None and read_unit(token) == before.quantity.unit

    def _counts_letter(self, following: Chunk | None) -> bool:
        """ "1000 mg/L N from urea", "1000 ppm K: KCl": straight after a mass in a volume, and not part of a longer name."""
        before = self.chunks[self.i - 2] if self.i > 1 else None
        measured = isinstance(before, Amount) and before.kind in ("mass per volume", "parts")
        return measured and (following is None or following.type not in NAME_TYPES)

    def _counts_element(self, following: Chunk | None) -> bool:
        """ "1000 mg/L Ca calcium chloride": an element between a mass in a volume and the name of a salt."""
        before = self.chunks[self.i - 2] if self.i > 1 else None
        measured = isinstance(before, Amount) and before.kind in ("mass per volume", "parts")
        named = following is not None and following.type in ("WORD", "FORMULA") and following not in MARKS
        return measured and named and str(following).lower() not in GENERIC

    def set_aside(self, token: Piece) -> None:
        """Keep a phrase that changes nothing, to show that it was seen."""
        self.facts.aside.append((token.start_pos, token.end_pos))
