"""What each preposition and marker word does to the clause being read (see ``grammar.facts``)."""

from typing import Any

from grammar import afterwards, sources
from grammar.facts import NAME_TYPES, ReadingError, Scanner
from grammar.formula import ELEMENTS
from grammar.lexing import Amount, payload
from grammar.request import Quantity
from grammar.tokens import Piece
from grammar.units import BASES, STRENGTHS
from grammar.words import IONS

_FILLED = frozenset(("FILLER", "COMMAND", "APPROX", "ACCURATE"))
_ENDS_ASIDE = frozenset(
    (
        *("BREAK", "STOP", "QUANTITY", "FROM", "IN", "DENSITY", "LABEL", "CONC", "PAREN", "DOWNTO", "NOSPARE", "JUNK"),
        *("EACH", "SPARE", "CHANGED", "RATIO", "FOLD", "TIMES", "SERIES", "PURE"),
    )
)


def to(scan: Scanner, token: Piece) -> None:
    """ "to 500 mL": closes a source clause; before words it opens a purpose ("to clean the glassware")."""
    _, kind = scan.ahead(_FILLED | {"NUMBER"} if token.type == "DOWNTO" else _FILLED)
    if kind == "QUANTITY":
        scan.facts.diluted = scan.facts.diluted or token.lower().startswith(("dilut", "down"))
        scan.place, scan.loose, scan.after_to = "open", False, True
    elif scan.facts.mixing and token.type == "TO" and len(scan.facts.runs) < 2 and scan.facts.runs:
        scan.joined_by = "TO"
    elif token.type == "DOWNTO":
        scan.place, scan.loose = "open", False
        scan.after_to = bool(scan.facts.strengths)
    elif kind and not scan.facts.mixing and scan.place == "source":
        scan.place, scan.loose, scan.after_to = "open", False, True
    elif token in ("into", "onto") and kind in NAME_TYPES and scan.facts.runs:
        scan.joined_by = "TO"
    else:
        _aside(scan, token)


def purpose(scan: Scanner, token: Piece) -> None:
    """ "for 250 mL of 3 M" closes a source clause; "for the iron titration" is the reaction; else set aside."""
    _, kind = scan.ahead(_FILLED)
    if kind in ("QUANTITY", "NUMBER", "CLASSOF", "EACH"):
        scan.place, scan.loose = "open", False
        scan.after_to = scan.after_to or bool(scan.facts.strengths)
        return
    _aside(scan, token)


def molar_mass(scan: Scanner, token: Piece) -> None:
    """ "MW 58.44": kept beside the name, to be compared; the molar mass is computed, never taken from the text."""
    j, _ = scan.ahead(frozenset(("OF", "EQUALS", "FILLER", "BREAK")))
    chunk = scan.chunks[j] if j < len(scan.chunks) else token
    if isinstance(chunk, Amount) and (chunk.type == "NUMBER" or chunk.kind == "molar mass"):
        scan.check(chunk)
        scan.i = j + 1
        scan.facts.molar_masses.append(chunk)
    else:
        scan.set_aside(token)


def _aside(scan: Scanner, token: Piece) -> None:
    words: list[Any] = []
    while scan.i < len(scan.chunks) and scan.chunks[scan.i].type not in _ENDS_ASIDE:
        chunk = scan.chunks[scan.i]
        measured = chunk.type == "PH" and scan.ahead(frozenset(("EQUALS", "FILLER")), scan.i + 1)[1] == "NUMBER"
        if chunk.type == "NUMBER" or measured:
            break
        words.append(chunk)
        scan.i += 1
    if not words:
        return
    last = scan.chunks[scan.i - 1]
    normal = any(f.amount.kind == "normal" for f in scan.facts.strengths)
    if token.type == "FOR" and scan.facts.reaction is None and (normal or any(c.type == "REACTION" for c in words)):
        scan.facts.reaction = (words[0].start_pos, last.end_pos)
    else:
        scan.facts.aside.append((token.start_pos, last.end_pos))


def reaction(scan: Scanner, token: Piece) -> None:
    """ "redox" standing alone."""
    if scan.facts.reaction is None:
        scan.facts.reaction = (token.start_pos, token.end_pos)
    else:
        scan.set_aside(token)


def inside(scan: Scanner, token: Piece) -> None:
    """ "in water", "in 1 L", "in a 250 mL conical flask", "in ethanol"."""
    j, kind = scan.ahead(_FILLED | {"MATERIAL"})
    if kind in ("VESSEL", "WHO") or not kind:
        return
    if kind == "QUANTITY":
        amount = scan.chunks[j]
        assert isinstance(amount, Amount)
        if amount.kind == "volume":
            scan.place, scan.loose = "open", False
            _, after = scan.ahead(frozenset(("OF",)), j + 1)
            if after == "WATER":
                scan.facts.solvent_volume = True
                scan.facts.water_in = (amount.start_pos, amount.end_pos)
        elif amount.kind in STRENGTHS and (
            scan.facts.strengths or scan.ahead(frozenset(("OF",)), j + 1)[1] in NAME_TYPES
        ):
            if scan.facts.medium is not None or scan.ahead(frozenset(("OF",)), j + 1)[1] not in NAME_TYPES:
                raise ReadingError("solvent-with-strength", amount.start_pos, amount.end_pos)
            scan.place, scan.loose = "medium", False
        return
    if kind in ("WORD", "FORMULA", "LOCANT"):
        if _basis_of_strength(scan, j) or afterwards.reaction_medium(scan, j):
            return
        if scan.facts.mixing:
            scan.joined_by = "IN"
        else:
            scan.place = "solvent"
        return
    if kind == "WATER":
        return
    if kind in ("DILUTE", "CONC", "GLACIAL") and scan.ahead(frozenset(("FILLER",)), j + 1)[1] in NAME_TYPES:
        raise ReadingError("solvent-with-strength", scan.chunks[j].start_pos, scan.chunks[j].end_pos)
    _aside(scan, token)


def _basis_of_strength(scan: Scanner, j: int) -> bool:
    """ "0.1 M in sodium ions", "1 mM in chloride": what the strength counts, said straight after it."""
    strengths = scan.facts.strengths
    before = scan.i - 2 - (1 if scan.i > 2 and scan.chunks[scan.i - 2] == "(" else 0)
    if not strengths or strengths[-1].amount.end_pos != scan.chunks[before].end_pos:
        return False
    name = str(scan.chunks[j])
    following = scan.chunks[j + 1 : j + 2]
    ion = bool(following) and isinstance(following[0], Piece) and following[0].lower() in ("ion", "ions")
    if not ion and name.lower() not in IONS and name not in ELEMENTS:
        return False
    amount = strengths[-1].amount
    assert amount.quantity is not None
    amount.quantity = Quantity(amount.quantity.value, amount.quantity.unit, name)
    scan.i = j + 2 if ion else j + 1
    return True


def water(scan: Scanner, token: Piece) -> None:
    """Water after "in", "with", "of" or alone is the solvent."""
    previous = scan.chunks[scan.i - 2] if scan.i > 1 else None
    if (
        previous is not None
        and previous.type in ("WORD",)
        and scan.facts.runs
        and scan.facts.runs[-1].tokens[-1] is previous
    ):
        scan.facts.runs[-1].tokens.append(token)
    else:
        scan.facts.solvent = payload(token)


def with_(scan: Scanner, token: Piece) -> None:
    """ "with 6 M stock" opens a source when "stock" or "concentrated" follows; else it joins."""
    for chunk in scan.chunks[scan.i : scan.i + 6]:
        if chunk.type in ("BREAK", "STOP", "FROM", "FOR", "IN", "SPARE", "EACH"):
            break
        if chunk.type in ("STOCK", "CONC"):
            sources.open_source(scan, token)
            scan.facts.source_opener = "with"
            break
    scan.joined_by = "WITH"


def mix(scan: Scanner, _token: Piece) -> None:
    """ "mix": perhaps a question of what may be brought together."""
    scan.facts.mixing = True


def together(scan: Scanner, _token: Piece) -> None:
    """ "together", "in with"."""
    scan.facts.mixing = True
    scan.joined_by = "WITH"


def command(scan: Scanner, token: Piece) -> None:
    """ "make 100 mL ..." ends a source clause; "what volume of 1 M NaOH makes 2 L ..." turns to what is made."""
    j, kind = scan.ahead(_FILLED)
    if kind != "QUANTITY":
        return
    made = scan.chunks[j]
    scan.facts.to_make = scan.facts.to_make or (isinstance(made, Amount) and made.kind == "volume")
    if scan.place == "source":
        scan.place, scan.loose = "open", False
    elif token.lower() in ("makes", "gives", "yields", "produces", "will make", "will give"):
        scan.after_to = bool(scan.facts.strengths)


def add(scan: Scanner, _token: Piece) -> None:
    """ "add" may ask about mixing; "add 500 mL of water" says how much water goes in, not how much is made."""
    j, _ = scan.ahead(frozenset(("FILLER", "APPROX")))
    amount = scan.amount(j)
    if amount is None or amount.kind not in ("volume", "mass"):
        scan.facts.mixing = True
    elif scan.ahead(frozenset(("OF", "FILLER")), j + 1)[1] == "WATER":
        scan.facts.added_water = (amount.start_pos, amount.end_pos)


def transfer(scan: Scanner, token: Piece) -> None:
    """ "pipette 10 mL of 1 M acid into a 100 mL flask": what is taken is the source, what the vessel holds is made."""
    amount = scan.amount(scan.ahead(_FILLED)[0])
    if amount is not None and amount.kind == "volume" and scan.place == "open":
        scan.place, scan.loose = "source", False
        scan.facts.source_opener = scan.facts.source_opener or "dilute"
    else:
        scan.set_aside(token)


def mark(scan: Scanner, _token: Piece) -> None:
    """ "to the mark": the vessel named is filled up."""
    scan.facts.to_mark = True


def accurate(scan: Scanner, _token: Piece) -> None:
    scan.facts.purposes.add("accurate")


def approximate(scan: Scanner, _token: Piece) -> None:
    scan.facts.purposes.add("approximate")


def pause(scan: Scanner, token: Piece) -> None:
    """A comma loosens a clause; a full stop closes it."""
    scan.joined_by = "BREAK"
    if scan.depth:
        return
    if token.type == "STOP" or scan.place in ("solvent", "medium"):
        scan.place, scan.loose = "open", False
    elif scan.place == "source":
        scan.loose = True


def bracket(scan: Scanner, token: Piece) -> None:
    scan.depth = max(0, scan.depth + (1 if token in "([" else -1))


def basis(scan: Scanner, token: Piece) -> None:
    """ "w/v" apart from its percent sign."""
    scan.facts.basis = BASES[token.lower()]


def junk(scan: Scanner, token: Piece) -> None:
    """Dashes and bars pause; a plus joins; any other mark is noted as odd."""
    if token in "-/–":
        pause(scan, token)
    elif token == "*" and scan.i > 1 and scan.chunks[scan.i - 2].type in ("WHO", "SETS"):
        return
    elif token == "+":
        scan.joined_by = "AND"
    elif token in "±<>≤≥":
        raise ReadingError("limit-sign", token.start_pos, token.end_pos)
    elif token == "%":
        raise ReadingError("unit-without-number", token.start_pos, token.end_pos, "%")
    elif token == "~":
        scan.facts.purposes.add("approximate")
    else:
        scan.facts.odd.append(token)


def negation(_scan: Scanner, token: Piece) -> None:
    """ "not", "without": what is not wanted is not read."""
    raise ReadingError("negation", token.start_pos, token.end_pos)


def aside(scan: Scanner, token: Piece) -> None:
    scan.set_aside(token)
