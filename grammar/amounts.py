"""Amounts and the words that belong to numbers: each handler files what it finds in ``Scanner.facts``."""

from decimal import Decimal

from grammar import series
from grammar.facts import JOINERS, NAME_TYPES, Fact, ReadingError, Scanner
from grammar.formula import ELEMENTS
from grammar.lexing import Amount, payload
from grammar.request import Quantity
from grammar.tokens import Piece, piece
from grammar.units import BASES, STRENGTHS, dimension, near_units, read_unit
from grammar.words import IONS, USUAL_BASES

_NONE: frozenset[str] = frozenset()
_BETWEEN = frozenset(("OF", "WITH", "AT", "JUNK", "COMMAND", "EACH"))


def quantity(scan: Scanner, amount: Amount) -> None:
    """File a quantity under its dimension."""
    scan.check(amount)
    kind, facts = amount.kind, scan.facts
    if amount.note:
        facts.notes.append(amount.note)
    fact = Fact(amount, scan.place, scan.loose, scan.after_to)
    assert amount.quantity is not None
    if kind == "volume":
        _volume(scan, fact)
    elif kind in STRENGTHS:
        _strength(scan, fact)
    elif kind == "mass":
        j, after = scan.ahead(frozenset(("OF", "FILLER")))
        if after == "SPARE":
            facts.spare_amount, scan.i = fact, j + 1
        elif after == "WATER" and scan.ahead(_NONE, j + 1)[1] not in NAME_TYPES and facts.water_mass is None:
            facts.water_mass = fact
        else:
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
    lots = fact.amount.lots
    if kind == "SPARE":
        scan.facts.spare_amount, scan.i = fact, j + 1
        return
    if lots is not None:
        _lots(scan, lots, fact)
        return
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


def _lots(scan: Scanner, count: int, fact: Fact) -> None:
    """ "6 x 100 mL", "4 x 250 mL bottles", "12 groups x 25 mL"."""
    facts = scan.facts
    if facts.each is not None:
        raise ReadingError("two-volumes-each", fact.amount.start_pos, fact.amount.end_pos)
    j, kind = scan.ahead(frozenset(("MATERIAL", "EACH")))
    if kind == "VESSEL":
        vessel_named = scan.chunks[j]
        assert isinstance(vessel_named, Piece)
        if payload(vessel_named) == "bottle":
            facts.vessels.append(("bottle", fact.quantity, None))
        scan.i = j + 1
    facts.counts.append((count, "portions"))
    facts.each = fact


def times(scan: Scanner, token: Piece) -> None:
    """ "100 mL x2": so many lots of the volume before it."""
    before = scan.chunks[scan.i - 2] if scan.i > 1 else None
    if not isinstance(before, Amount) or before.kind != "volume" or not scan.facts.volumes:
        raise ReadingError("number-without-role", token.start_pos, token.end_pos, str(token))
    _lots(scan, int(token.lstrip("xX ")), scan.facts.volumes.pop())


def per_volume(scan: Scanner, token: Piece) -> None:
    """ "1000 mg Cu per litre": the mass named last is a strength."""
    facts = scan.facts
    named_last = facts.masses[-1] if facts.masses else None
    unit = read_unit(f"{named_last.quantity.unit}/{token.lower().split(None, 1)[-1].lstrip('/ ')}") if named_last else None
    if named_last is None or unit is None or dimension(unit) not in STRENGTHS:
        raise ReadingError("number-without-role", token.start_pos, token.end_pos, str(token))
    facts.masses.pop()
    named_last.amount.quantity = Quantity(named_last.quantity.value, unit)
    named_last.amount.kind = dimension(unit)
    facts.strengths.append(named_last)


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
            if token.lower().startswith(("a ", "an ")) and not scan.facts.counts:
                return
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
        if _plus_spare(scan):
            facts.spare = quantity.value
            return
        if kind == "PURE":
            facts.purity, scan.i = quantity, j + 1
            return
        if kind == "LABEL":
            facts.label_strength, scan.i = quantity, j + 1
            return
        if kind == "BASIS":
            amount.quantity = Quantity(quantity.value, BASES[scan.chunks[j].lower()])  # type: ignore[union-attr]
            scan.i = j + 1
    fact.stock = scan.ahead(_NONE)[1] == "STOCK"
    facts.strengths.append(fact)


def _plus_spare(scan: Scanner) -> bool:
    """ "10 mL per student plus 20 %": a bare percentage added to a volume, with nothing after it to be its substance."""
    before = scan.chunks[scan.i - 2] if scan.i > 1 else None
    after = scan.ahead(frozenset(("FILLER", "STOP", "BREAK")))[1]
    return before == "plus" and after not in NAME_TYPES and bool(scan.facts.volumes or scan.facts.each)


def as_(scan: Scanner, _token: Piece) -> None:
    """ "as Cu", "(as CaCO3)", "as N": what the strength before it counts. "as the pentahydrate" is the form weighed."""
    j, kind = scan.ahead(frozenset(("FILLER",)))
    if kind not in ("FORMULA", "WORD") or not scan.facts.strengths:
        return
    name = scan.chunks[j]
    following = scan.ahead(_NONE, j + 1)[1]
    counted = scan.facts.strengths[-1].amount
    if not isinstance(name, Piece):
        return
    target = scan.facts.runs[-1].tokens if scan.facts.runs else []
    salt = kind == "FORMULA" and name not in USUAL_BASES and len(target) == 1 and target[0].lower() in IONS
    if name not in ELEMENTS and (salt or following in NAME_TYPES or not (kind == "FORMULA" or name.lower() in IONS)):
        scan.place, scan.loose = "source", False
        scan.facts.source_opener = scan.facts.source_opener or "from"
    elif counted.quantity is not None:
        if counted.quantity.of is not None and counted.quantity.of != name:
            raise ReadingError("two-bases", name.start_pos, name.end_pos)
        counted.quantity = Quantity(counted.quantity.value, counted.quantity.unit, str(name))
        scan.i = j + 1


def number(scan: Scanner, amount: Amount) -> None:
    """A number without a unit: a count, one of a list of strengths, a density in brackets, or a misreading."""
    scan.check(amount)
    assert amount.value is not None
    j, kind = scan.ahead(frozenset(("FILLER",)))
    token = scan.chunks[j] if kind else None
    if kind in ("STEPS", "SERIES", "DILUTE") and isinstance(token, Piece):
        _steps(scan, amount, kind)
        scan.i = j + 1 if kind == "STEPS" else j
        return
    if kind in ("WHO", "SETS", "CLASSOF", "VESSEL") and isinstance(token, Piece):
        _people(scan, amount, token)
        scan.i = j + 1
        if kind in ("WHO", "VESSEL"):
            _count(scan, int(amount.value), payload(token) if kind == "WHO" else "portions")
        return
    if isinstance(token, Piece) and token in ("x", "X", "*") and amount.value == int(amount.value):
        lots = scan.amount(j + 1)
        if lots is not None and lots.kind == "volume":
            scan.i = j + 2
            _lots(scan, int(amount.value), Fact(lots, scan.place, scan.loose, scan.after_to))
            return
    if series.ranged(scan, amount) or series.listed(scan, amount) or _list_number(scan, amount) or _bare_density(scan, amount, token):
        return
    _, after = scan.ahead(_NONE, j + 1)
    unit_like = isinstance(token, Piece) and kind == "WORD" and (after == "OF" or bool(near_units(str(token))))
    if unit_like and isinstance(token, Piece):
        readings = tuple(f"{amount.text} {near}" for near in near_units(str(token)))
        raise ReadingError("unknown-unit", amount.start_pos, token.end_pos, str(token), readings)
    raise ReadingError("number-without-role", amount.start_pos, amount.end_pos, amount.text)


def _people(scan: Scanner, amount: Amount, token: Piece) -> None:
    assert amount.value is not None
    count = int(amount.value)
    if count != amount.value or not 1 <= count <= 10000:
        raise ReadingError("count-unclear", amount.start_pos, amount.end_pos)
    if token.type == "SETS":
        scan.facts.sets = count
    elif token.type == "CLASSOF":
        scan.facts.class_size = count


def _steps(scan: Scanner, amount: Amount, kind: str) -> None:
    """ "5 steps", "five dilutions", "6 standards": how many there are in a series."""
    if amount.value != int(amount.value or 0) or not 1 <= int(amount.value or 0) <= series.LONGEST_SERIES:
        raise ReadingError("count-unclear", amount.start_pos, amount.end_pos)
    if kind == "SERIES":
        scan.facts.series_count = int(amount.value or 0)
    else:
        scan.facts.repeats = int(amount.value or 0)


def _list_number(scan: Scanner, amount: Amount) -> bool:
    """ "3. Sodium chloride ...", "2) 250 mL of ...": the number of a list, at the beginning only."""
    following = scan.chunks[scan.i] if scan.i < len(scan.chunks) else None
    if not isinstance(following, Piece) or len(amount.text) > 2 or not amount.text.isdigit():
        return False
    opened = scan.i == 2 and scan.chunks[0].type == "PAREN"
    if following == ")" and (scan.i == 1 or opened):
        scan.depth = 0
        scan.i += 1
        return True
    if following == "." and scan.i == 1 and scan.ahead(_NONE, 2)[1] in (*NAME_TYPES, "FILLER", "COMMAND"):
        scan.i += 1
        return True
    return False


def _bare_density(scan: Scanner, amount: Amount, token: object) -> bool:
    """ "85 % (1.69)", ".880 ammonia": a density as it stands on the bottle of a strong reagent."""
    facts, value = scan.facts, amount.value
    assert value is not None
    if facts.density is not None or not ("." in amount.text and Decimal("0.6") < value < Decimal("2.2")):
        return False
    if isinstance(token, Piece) and token.lower() == "ammonia" and value == Decimal("0.88"):
        scan.name(piece("WORD", "880", amount.start_pos, amount.end_pos))
        return True
    if scan.depth == 0 or not facts.strengths or facts.strengths[-1].quantity.unit not in ("%", "% w/w"):
        return False
    facts.density = Quantity(value, "g/mL")
    facts.notes.append(f"{amount.text} read as the density in g/mL")
    return True


def _count(scan: Scanner, count: int, who: str) -> None:
    scan.facts.counts.append((count, who))
    j, kind = scan.ahead(_BETWEEN)
    if kind == "WORD" and scan.chunks[j] in ("x", "X"):
        j, kind = scan.ahead(_BETWEEN, j + 1)
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
