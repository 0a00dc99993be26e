"""Amounts and the words that belong to numbers: each handler files what it finds in ``Scanner.facts``."""

from decimal import Decimal

from grammar.facts import JOINERS, Fact, ReadingError, Scanner
from grammar.lexing import Amount, payload
from grammar.request import Quantity
from grammar.tokens import Piece
from grammar.units import STRENGTHS, near_units


def quantity(scan: Scanner, amount: Amount) -> None:
    """File a quantity under its dimension."""
    scan.check(amount)
    kind, facts = amount.kind, scan.facts
    fact = Fact(amount, scan.place, scan.loose, scan.after_to)
    assert amount.quantity is not None
    if kind == "volume":
        _volume(scan, fact)
    elif kind in STRENGTHS:
        _strength(scan, fact)
    elif kind == "mass":
        facts.masses.append(fact)
    elif kind == "density":
        if facts.density is None and (facts.strengths or scan.place == "source"):
            facts.density = amount.quantity
        else:
            grams = amount.quantity.value.scaleb(3 if amount.quantity.unit == "g/mL" else 0)
            amount.quantity = Quantity(grams, "g/L")
            facts.strengths.append(fact)
    elif kind == "temperature":
        facts.temperature = amount.quantity
    elif kind in ("time", "molar mass"):
        facts.aside.append((amount.start_pos, amount.end_pos))
    else:
        raise ReadingError("amount-of-substance", amount.start_pos, amount.end_pos)


def _volume(scan: Scanner, fact: Fact) -> None:
    j, kind = scan.ahead(frozenset(("MATERIAL",)))
    if kind == "VESSEL":
        materials = [payload(t) for t in scan.chunks[scan.i : j] if isinstance(t, Piece)]
        _vessel(scan, scan.chunks[j], fact, materials)  # type: ignore[arg-type]
        scan.i = j + 1
    elif kind == "EACH":
        _each(scan, fact, scan.chunks[j])  # type: ignore[arg-type]
        scan.i = j + 1
    else:
        if (
            fact.place == "source"
            and kind != "OF"
            and (_source_named(scan) or any(f.place == "source" for f in scan.facts.strengths))
        ):
            fact.loose = True
        scan.facts.volumes.append(fact)


def _source_named(scan: Scanner) -> bool:
    return any(run.place == "source" for run in scan.facts.runs)


def _each(scan: Scanner, fact: Fact, token: Piece) -> None:
    if scan.facts.each is not None:
        raise ReadingError("two-volumes-each", fact.amount.start_pos, fact.amount.end_pos)
    scan.facts.each, scan.facts.each_who = fact, payload(token)


def each(scan: Scanner, token: Piece) -> None:
    """ "each" after other words belongs to the volume named last."""
    if scan.facts.volumes and scan.facts.each is None:
        _each(scan, scan.facts.volumes.pop(), token)
    elif scan.facts.each is not None and not scan.facts.each_who:
        scan.facts.each_who = payload(token)
    elif scan.facts.each is None:
        _, kind = scan.ahead(JOINERS)
        j, _ = scan.ahead(JOINERS)
        amount = scan.amount(j) if kind == "QUANTITY" else None
        if amount is not None and amount.kind == "volume":
            _each(scan, Fact(amount, scan.place, scan.loose, scan.after_to), token)
            scan.i = j + 1


def _strength(scan: Scanner, fact: Fact) -> None:
    facts, amount = scan.facts, fact.amount
    quantity = fact.quantity
    if quantity.unit == "%":
        j, kind = scan.ahead(frozenset(("FILLER",)))
        if kind == "SPARE":
            facts.spare, scan.i = quantity.value, j + 1
            return
        if kind == "PURE":
            facts.purity, scan.i = quantity, j + 1
            return
        if kind == "LABEL":
            facts.label_strength, scan.i = quantity, j + 1
            return
        if kind == "BASIS":
            basis = {"v": "% w/v", "w": "% w/w"}
            text = str(scan.chunks[j]).lower()
            unit = "% v/v" if text in ("v/v", "vol/vol", "by volume") else basis["v" if text[-1] in "vle" else "w"]
            amount.quantity = Quantity(quantity.value, unit)
            scan.i = j + 1
    j, kind = scan.ahead(frozenset())
    if kind == "AS" and j + 1 < len(scan.chunks) and scan.chunks[j + 1].type in ("FORMULA", "WORD"):
        amount.quantity = Quantity(fact.quantity.value, fact.quantity.unit, str(scan.chunks[j + 1]))
        scan.i = j + 2
    facts.strengths.append(fact)


def number(scan: Scanner, amount: Amount) -> None:
    """A number without a unit: a count, or a misreading."""
    scan.check(amount)
    assert amount.value is not None
    j, kind = scan.ahead(frozenset(("FILLER",)))
    token = scan.chunks[j] if kind else None
    if kind in ("WHO", "SETS", "CLASSOF") and isinstance(token, Piece):
        count = int(amount.value)
        if count != amount.value or not 1 <= count <= 10000:
            raise ReadingError("count-unclear", amount.start_pos, amount.end_pos)
        scan.i = j + 1
        if kind == "SETS":
            scan.facts.sets = count
        elif kind == "CLASSOF":
            scan.facts.class_size = count
        else:
            _count(scan, count, payload(token))
        return
    times = scan.amount(scan.i + 1) if isinstance(token, Piece) and token in ("x", "X", "*") else None
    if times is not None and amount.value == int(amount.value):
        lots = f"{int(amount.value)} portions of {times.text} {times.unit_text}"
        raise ReadingError("lots-unclear", amount.start_pos, times.end_pos, "", (lots,))
    _, after = scan.ahead(frozenset(), j + 1)
    unit_like = isinstance(token, Piece) and kind == "WORD" and (after == "OF" or bool(near_units(str(token))))
    if unit_like and isinstance(token, Piece):
        readings = tuple(f"{amount.text} {near}" for near in near_units(str(token)))
        raise ReadingError("unknown-unit", amount.start_pos, token.end_pos, str(token), readings)
    raise ReadingError("number-without-role", amount.start_pos, amount.end_pos, amount.text)


def _count(scan: Scanner, count: int, who: str) -> None:
    scan.facts.counts.append((count, who))
    j, kind = scan.ahead(frozenset(("OF", "WITH", "AT")))
    amount = scan.amount(j) if kind == "QUANTITY" and j > scan.i else None
    if amount is not None and amount.kind == "volume" and scan.facts.each is None:
        scan.facts.each = Fact(amount, scan.place, scan.loose, scan.after_to)
        scan.i = j + 1


def class_of(scan: Scanner, _token: Piece) -> None:
    """ "class of 28"."""
    amount = scan.amount(scan.i)
    if (
        amount is not None
        and amount.type == "NUMBER"
        and amount.value is not None
        and amount.value == int(amount.value)
    ):
        scan.facts.class_size = int(amount.value)
        scan.i += 1


def density(scan: Scanner, token: Piece) -> None:
    """ "density 1.18", "d = 1.18 g/mL"; a lone "d" is part of a name."""
    j, _ = scan.ahead(JOINERS)
    amount = scan.amount(j)
    if amount is not None and amount.type == "NUMBER" and amount.value is not None:
        scan.facts.density, scan.i = Quantity(amount.value, "g/mL"), j + 1
    elif amount is not None and amount.quantity is not None and amount.kind in ("density", "mass per volume"):
        scan.facts.density, scan.i = amount.quantity, j + 1
    elif token.lower() == "d":
        scan.name(token)
    else:
        scan.set_aside(token)


def acidity(scan: Scanner, token: Piece) -> None:
    """ "pH 7.4"."""
    j, _ = scan.ahead(JOINERS)
    amount = scan.amount(j)
    if amount is not None and amount.type == "NUMBER":
        scan.facts.ph, scan.i = amount.value, j + 1
    else:
        scan.set_aside(token)


def purity(scan: Scanner, token: Piece) -> None:
    """ "assay 98.5 %", "purity of 97"; without a number "pure" is only shown."""
    j, _ = scan.ahead(JOINERS)
    amount = scan.amount(j)
    if amount is not None and amount.type == "NUMBER" and amount.value is not None:
        scan.facts.purity, scan.i = Quantity(amount.value, "%"), j + 1
    elif amount is not None and amount.quantity is not None and amount.kind == "percent":
        scan.facts.purity, scan.i = amount.quantity, j + 1
    else:
        scan.set_aside(token)


def label(scan: Scanner, token: Piece) -> None:
    """ "bottle says 37.2 %": the source's strength or purity, whatever its substance makes of it."""
    j, kind = scan.ahead(JOINERS)
    amount = scan.amount(j) if kind == "QUANTITY" else None
    if amount is not None and amount.quantity is not None and amount.kind in STRENGTHS:
        _, following = scan.ahead(frozenset(("FILLER",)), j + 1)
        if following == "PURE":
            return
        scan.facts.label_strength, scan.i = amount.quantity, j + 1
    elif kind not in ("PURE", "DENSITY"):
        scan.set_aside(token)


def spare(scan: Scanner, token: Piece) -> None:
    """ "spare 10 %"; without a number the word is only shown."""
    j, _ = scan.ahead(JOINERS)
    amount = scan.amount(j)
    if amount is not None and amount.quantity is not None and amount.quantity.unit == "%":
        scan.facts.spare, scan.i = amount.value, j + 1
    else:
        scan.set_aside(token)


def no_spare(scan: Scanner, _token: Piece) -> None:
    """ "no spare"."""
    scan.facts.spare = Decimal(0)


def _vessel(scan: Scanner, token: Piece, size: Fact | None, materials: list[str]) -> None:
    scan.facts.vessels.append((payload(token), size.quantity if size else None, materials[-1] if materials else None))
    if size is not None:
        scan.facts.vessel_volume = size


def vessel(scan: Scanner, token: Piece) -> None:
    """A vessel named without a size."""
    _vessel(scan, token, None, [])


def material(scan: Scanner, token: Piece) -> None:
    """ "brown bottle": a material counts when it stands before a vessel; else it is a word of a name."""
    j, kind = scan.ahead(frozenset(("MATERIAL", "QUANTITY")))
    if kind == "VESSEL":
        between = scan.chunks[scan.i : j]
        size = next((c for c in between if isinstance(c, Amount)), None)
        names = [payload(token), *(payload(t) for t in between if isinstance(t, Piece))]
        fact = Fact(size, scan.place, scan.loose, scan.after_to) if size and size.kind == "volume" else None
        _vessel(scan, scan.chunks[j], fact, names)  # type: ignore[arg-type]
        scan.i = j + 1
    elif scan.facts.vessels and scan.facts.vessels[-1][2] is None and not isinstance(scan.chunks[scan.i - 2], Amount):
        kind_of, nominal, _ = scan.facts.vessels[-1]
        scan.facts.vessels[-1] = (kind_of, nominal, payload(token))
    else:
        scan.name(token)
