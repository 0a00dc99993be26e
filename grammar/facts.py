"""From chunks to facts: every quantity, name and phrase with the clause it stood in.

One pass from left to right. A clause is opened by a preposition ("from", "in", "for", "to") or a word such as
"concentrated", and closed by the next one; ``grammar.reader`` then decides what each fact is for.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, Literal

from lark import Token

from grammar.lexing import Amount, Chunk, payload
from grammar.request import Quantity
from grammar.units import STRENGTHS, near_units

Place = Literal["open", "source", "solvent"]
NAME_TYPES = frozenset(("WORD", "FORMULA", "HYDRATE", "OXIDATION", "LOCANT", "CAS", "SYMBOL"))
JOINING = frozenset(("AND", "OR"))
JOINERS = frozenset(("OF", "EQUALS", "FILLER", "BREAK", "AT", "APPROX", "AS", "LABEL"))


@dataclass(slots=True)
class Fact:
    """A quantity, the clause it stood in and its position. ``loose``: a comma stood between it and its clause."""

    amount: Amount
    place: Place
    loose: bool
    after_to: bool

    @property
    def quantity(self) -> Quantity:
        assert self.amount.quantity is not None
        return self.amount.quantity


@dataclass(slots=True)
class Run:
    """Consecutive words of a name."""

    tokens: list[Token]
    place: Place
    bracketed: bool
    joined_by: str

    @property
    def start(self) -> int:
        return self.tokens[0].start_pos or 0

    @property
    def end(self) -> int:
        return self.tokens[-1].end_pos or 0


class Trouble(Exception):
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
    purity: Quantity | None = None
    density: Quantity | None = None
    temperature: Quantity | None = None
    ph: Decimal | None = None
    runs: list[Run] = field(default_factory=list)
    source_opener: str = ""
    source_words: set[str] = field(default_factory=set)
    vessels: list[tuple[str, Quantity | None, str | None]] = field(default_factory=list)
    vessel_volume: Fact | None = None
    solvent: str | None = None
    solvent_volume: bool = False
    each: Fact | None = None
    each_who: str = ""
    counts: list[tuple[int, str]] = field(default_factory=list)
    class_size: int | None = None
    sets: int | None = None
    spare: Decimal | None = None
    purposes: set[str] = field(default_factory=set)
    mixing: bool = False
    diluted: bool = False
    reaction: str | None = None
    basis: str | None = None
    of: str | None = None
    aside: list[tuple[int, int]] = field(default_factory=list)
    odd: list[Token] = field(default_factory=list)


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
        """Give every chunk to the handler of its type. Raises ``Trouble`` at the first amount that cannot be read."""
        chunks = self.chunks
        while self.i < len(chunks):
            chunk = chunks[self.i]
            kind = chunk.type
            self.i += 1
            if kind in NAME_TYPES:
                self._name(chunk)  # type: ignore[arg-type]
                continue
            self.run = None
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

    def _amount(self, j: int) -> Amount | None:
        chunk = self.chunks[j] if j < len(self.chunks) else None
        if not isinstance(chunk, Amount):
            return None
        self.check(chunk)
        return chunk

    def check(self, amount: Amount) -> None:
        """Stop at an amount whose number or unit has no safe reading."""
        if amount.problem:
            raise Trouble(amount.problem.code, amount.start_pos, amount.end_pos, amount.unit_text, amount.problem.readings)
        if amount.kind == "asked" and amount.quantity:
            raise Trouble("unit-asked", amount.start_pos, amount.end_pos, amount.quantity.unit)

    # -- names ----------------------------------------------------------------------------------------------------

    def _name(self, token: Token) -> None:
        if self.run is None:
            self.run = Run([token], self.place, self.depth > 0, self.joined_by)
            self.facts.runs.append(self.run)
            self.joined_by = ""
        else:
            self.run.tokens.append(token)

    # -- amounts --------------------------------------------------------------------------------------------------

    def quantity(self, amount: Amount) -> None:
        """File a quantity under its dimension."""
        self.check(amount)
        kind, facts = amount.kind, self.facts
        fact = Fact(amount, self.place, self.loose, self.after_to)
        assert amount.quantity is not None
        if kind == "volume":
            self._volume(fact)
        elif kind in STRENGTHS:
            self._strength(fact)
        elif kind == "mass":
            facts.masses.append(fact)
        elif kind == "density":
            if facts.density is None and (facts.strengths or self.place == "source"):
                facts.density = amount.quantity
            else:
                grams = amount.quantity.value.scaleb(3 if amount.quantity.unit == "g/mL" else 0)
                amount.quantity = Quantity(grams, "g/L")
                facts.strengths.append(fact)
        elif kind == "temperature":
            facts.temperature = amount.quantity
        elif kind == "time":
            facts.aside.append((amount.start_pos, amount.end_pos))
        else:
            raise Trouble("amount-of-substance", amount.start_pos, amount.end_pos)

    def _volume(self, fact: Fact) -> None:
        j, kind = self.ahead(frozenset(("MATERIAL",)))
        if kind == "VESSEL":
            materials = [payload(t) for t in self.chunks[self.i : j] if isinstance(t, Token)]
            self._vessel(self.chunks[j], fact, materials)  # type: ignore[arg-type]
            self.i = j + 1
        elif kind == "EACH":
            self._each(fact, self.chunks[j])  # type: ignore[arg-type]
            self.i = j + 1
        else:
            if fact.place == "source" and kind != "OF" and (self._source_named() or any(f.place == "source" for f in self.facts.strengths)):
                fact.loose = True
            self.facts.volumes.append(fact)

    def _source_named(self) -> bool:
        return any(run.place == "source" for run in self.facts.runs)

    def _each(self, fact: Fact, token: Token) -> None:
        if self.facts.each is not None:
            raise Trouble("two-volumes-each", fact.amount.start_pos, fact.amount.end_pos)
        self.facts.each, self.facts.each_who = fact, payload(token)

    def each(self, token: Token) -> None:
        """ "each" after other words belongs to the volume named last."""
        if self.facts.volumes and self.facts.each is None:
            self._each(self.facts.volumes.pop(), token)
        elif self.facts.each is not None and not self.facts.each_who:
            self.facts.each_who = payload(token)
        elif self.facts.each is None:
            _, kind = self.ahead(JOINERS)
            j, _ = self.ahead(JOINERS)
            amount = self._amount(j) if kind == "QUANTITY" else None
            if amount is not None and amount.kind == "volume":
                self._each(Fact(amount, self.place, self.loose, self.after_to), token)
                self.i = j + 1

    def _strength(self, fact: Fact) -> None:
        facts, amount = self.facts, fact.amount
        quantity = fact.quantity
        if quantity.unit == "%":
            j, kind = self.ahead(frozenset(("FILLER",)))
            if kind == "SPARE":
                facts.spare, self.i = quantity.value, j + 1
                return
            if kind == "PURE":
                facts.purity, self.i = quantity, j + 1
                return
            if kind == "LABEL":
                facts.label_strength, self.i = quantity, j + 1
                return
            if kind == "BASIS":
                basis = {"v": "% w/v", "w": "% w/w"}
                text = str(self.chunks[j]).lower()
                unit = "% v/v" if text in ("v/v", "vol/vol", "by volume") else basis["v" if text[-1] in "vle" else "w"]
                amount.quantity = Quantity(quantity.value, unit)
                self.i = j + 1
        j, kind = self.ahead(frozenset())
        if kind == "AS" and j + 1 < len(self.chunks) and self.chunks[j + 1].type in ("FORMULA", "WORD"):
            amount.quantity = Quantity(fact.quantity.value, fact.quantity.unit, str(self.chunks[j + 1]))
            self.i = j + 2
        facts.strengths.append(fact)

    def number(self, amount: Amount) -> None:
        """A number without a unit: a count, or a misreading."""
        self.check(amount)
        assert amount.value is not None
        j, kind = self.ahead(frozenset(("FILLER",)))
        token = self.chunks[j] if kind else None
        if kind in ("WHO", "SETS", "CLASSOF") and isinstance(token, Token):
            count = int(amount.value)
            if count != amount.value or not 1 <= count <= 10000:
                raise Trouble("count-unclear", amount.start_pos, amount.end_pos)
            self.i = j + 1
            if kind == "SETS":
                self.facts.sets = count
            elif kind == "CLASSOF":
                self.facts.class_size = count
            else:
                self._count(count, payload(token))
            return
        times = self._amount(self.i + 1) if isinstance(token, Token) and token in ("x", "X", "*") else None
        if times is not None and amount.value == int(amount.value):
            readings = (f"{int(amount.value)} portions of {times.text} {times.unit_text}",)
            raise Trouble("lots-unclear", amount.start_pos, times.end_pos, "", readings)
        _, after = self.ahead(frozenset(), j + 1)
        unit_like = isinstance(token, Token) and kind == "WORD" and (after == "OF" or bool(near_units(str(token))))
        if unit_like and isinstance(token, Token):
            raise Trouble("unknown-unit", amount.start_pos, token.end_pos or 0, str(token))
        raise Trouble("number-without-role", amount.start_pos, amount.end_pos, amount.text)

    def _count(self, count: int, who: str) -> None:
        self.facts.counts.append((count, who))
        j, kind = self.ahead(frozenset(("OF", "WITH", "AT")))
        amount = self._amount(j) if kind == "QUANTITY" and j > self.i else None
        if amount is not None and amount.kind == "volume" and self.facts.each is None:
            self.facts.each = Fact(amount, self.place, self.loose, self.after_to)
            self.i = j + 1

    def class_of(self, _token: Token) -> None:
        """ "class of 28"."""
        amount = self._amount(self.i)
        if amount is not None and amount.type == "NUMBER" and amount.value is not None and amount.value == int(amount.value):
            self.facts.class_size = int(amount.value)
            self.i += 1

    def density(self, token: Token) -> None:
        """ "density 1.18", "d = 1.18 g/mL"; a lone "d" is part of a name."""
        j, _ = self.ahead(JOINERS)
        amount = self._amount(j)
        if amount is not None and amount.type == "NUMBER" and amount.value is not None:
            self.facts.density, self.i = Quantity(amount.value, "g/mL"), j + 1
        elif amount is not None and amount.quantity is not None and amount.kind in ("density", "mass per volume"):
            self.facts.density, self.i = amount.quantity, j + 1
        elif token.lower() == "d":
            self._name(token)
        else:
            self.set_aside(token)

    def acidity(self, token: Token) -> None:
        """ "pH 7.4"."""
        j, _ = self.ahead(JOINERS)
        amount = self._amount(j)
        if amount is not None and amount.type == "NUMBER":
            self.facts.ph, self.i = amount.value, j + 1
        else:
            self.set_aside(token)

    def purity(self, token: Token) -> None:
        """ "assay 98.5 %", "purity of 97"; without a number "pure" is only shown."""
        j, _ = self.ahead(JOINERS)
        amount = self._amount(j)
        if amount is not None and amount.type == "NUMBER" and amount.value is not None:
            self.facts.purity, self.i = Quantity(amount.value, "%"), j + 1
        elif amount is not None and amount.quantity is not None and amount.kind == "percent":
            self.facts.purity, self.i = amount.quantity, j + 1
        else:
            self.set_aside(token)

    def label(self, token: Token) -> None:
        """ "bottle says 37.2 %": the source's strength or purity, whatever its substance makes of it."""
        j, kind = self.ahead(JOINERS)
        amount = self._amount(j) if kind == "QUANTITY" else None
        if amount is not None and amount.quantity is not None and amount.kind in STRENGTHS:
            _, following = self.ahead(frozenset(("FILLER",)), j + 1)
            if following == "PURE":
                return
            self.facts.label_strength, self.i = amount.quantity, j + 1
        elif kind not in ("PURE", "DENSITY"):
            self.set_aside(token)

    def spare(self, token: Token) -> None:
        """ "spare 10 %"; without a number the word is only shown."""
        j, _ = self.ahead(JOINERS)
        amount = self._amount(j)
        if amount is not None and amount.quantity is not None and amount.quantity.unit == "%":
            self.facts.spare, self.i = amount.value, j + 1
        else:
            self.set_aside(token)

    def no_spare(self, _token: Token) -> None:
        """ "no spare"."""
        self.facts.spare = Decimal(0)

    # -- clauses are in grammar.clauses ---------------------------------------------------------------------------

    def set_aside(self, token: Token) -> None:
        """Keep a phrase that changes nothing, to show that it was seen."""
        self.facts.aside.append((token.start_pos or 0, token.end_pos or 0))

    def _vessel(self, token: Token, size: Fact | None, materials: list[str]) -> None:
        self.facts.vessels.append((payload(token), size.quantity if size else None, materials[-1] if materials else None))
        if size is not None:
            self.facts.vessel_volume = size

    def vessel(self, token: Token) -> None:
        """A vessel named without a size."""
        self._vessel(token, None, [])

    def material(self, token: Token) -> None:
        """ "brown bottle": a material counts when it stands before a vessel; else it is a word of a name."""
        j, kind = self.ahead(frozenset(("MATERIAL", "QUANTITY")))
        if kind == "VESSEL":
            between = self.chunks[self.i : j]
            size = next((c for c in between if isinstance(c, Amount)), None)
            names = [payload(token), *(payload(t) for t in between if isinstance(t, Token))]
            fact = Fact(size, self.place, self.loose, self.after_to) if size and size.kind == "volume" else None
            self._vessel(self.chunks[j], fact, names)  # type: ignore[arg-type]
            self.i = j + 1
        elif self.facts.vessels and self.facts.vessels[-1][2] is None and not isinstance(self.chunks[self.i - 2], Amount):
            kind_of, nominal, _ = self.facts.vessels[-1]
            self.facts.vessels[-1] = (kind_of, nominal, payload(token))
        else:
            self._name(token)
