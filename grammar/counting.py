"""Numbers without a unit, and the words for people, lots, portions and spare."""

from decimal import Decimal

from grammar import series
from grammar.facts import JOINERS, NAME_TYPES, Fact, ReadingError, Scanner
from grammar.lexing import Amount, payload
from grammar.request import Quantity
from grammar.tokens import Piece
from grammar.units import STRENGTHS, near_units

_NONE: frozenset[str] = frozenset()
#: No solution on a bench is denser, g/mL.
MOST_DENSE = 4
#: A number of this many and more is not likely to count litres.
LITRES_BELOW = 20
_BETWEEN = frozenset(("OF", "WITH", "AT", "JUNK", "COMMAND", "EACH"))


def number(scan: Scanner, amount: Amount) -> None:
    """A number without a unit: a count, one of a list of strengths, a density in brackets, or a misreading."""
    scan.check(amount)
    assert amount.value is not None
    j, kind = scan.ahead(frozenset(("FILLER",)))
    token = scan.chunks[j] if kind else None
    if kind in ("STEPS", "SERIES", "DILUTE", "FOLD") and isinstance(token, Piece):
        _steps(scan, amount, kind)
        scan.i = j + 1 if kind == "STEPS" else j
        return
    spelled = isinstance(token, Piece) and token.lower() not in ("d", "d.")
    if kind == "DENSITY" and spelled and j == scan.i and scan.facts.density is None and amount.value < MOST_DENSE:
        # "1.69 S.G.": the density said after its number.
        scan.facts.density, scan.i = Quantity(amount.value, "g/mL"), j + 1
        return
    if kind in ("WHO", "SETS", "CLASSOF", "VESSEL") and isinstance(token, Piece):
        _people(scan, amount, token)
        scan.i = j + 1
        if kind in ("WHO", "VESSEL"):
            _count(scan, int(amount.value), payload(token) if kind == "WHO" else "portions")
        return
    if isinstance(token, Piece) and token in ("x", "X", "*") and amount.value == int(amount.value):
        lots = scan.amount(j + 1)
        glued = token.start_pos == amount.end_pos
        in_source = scan.place == "source" and not any(f.place == "source" for f in scan.facts.strengths)
        if lots is not None and lots.kind == "volume" and glued and (in_source or not strength_said(scan)):
            named_before = scan.i > 1 and scan.chunks[scan.i - 2].type in NAME_TYPES
            if not named_before:
                reading = f"{amount.text} portions of {lots.text} {lots.unit_text}"
                raise ReadingError("lots-or-fold", amount.start_pos, lots.end_pos, "", (reading,))
            amount.quantity, amount.kind = Quantity(amount.value, "X"), "fold"
            scan.facts.strengths.append(Fact(amount, scan.place, scan.loose, scan.after_to))
            scan.i = j + 1
            return
        if lots is not None and lots.kind == "volume":
            scan.i = j + 2
            lots_of(scan, int(amount.value), Fact(lots, scan.place, scan.loose, scan.after_to))
            return
    if (
        series.ranged(scan, amount)
        or series.listed(scan, amount)
        or _list_number(scan, amount)
        or _bare_density(scan, amount, token)
    ):
        return
    k, following = scan.ahead(frozenset(("OF", "FILLER", "APPROX", "ACCURATE")))
    held = scan.amount(k) if kind == "OF" and following == "QUANTITY" else None
    if held is not None and held.kind in STRENGTHS and not scan.facts.volumes:
        # "250 of 0.1 molar": an amount whose unit is not said.
        readings = (f"{amount.text} mL", *([f"{amount.text} L"] if amount.value < LITRES_BELOW else []))
        raise ReadingError("amount-without-unit", amount.start_pos, amount.end_pos, "", readings)
    _, after = scan.ahead(_NONE, j + 1)
    unit_like = isinstance(token, Piece) and kind == "WORD" and (after == "OF" or bool(near_units(str(token))))
    if unit_like and isinstance(token, Piece):
        readings = tuple(f"{amount.text} {near}" for near in near_units(str(token)))
        raise ReadingError("unknown-unit", amount.start_pos, token.end_pos, str(token), readings)
    raise ReadingError("number-without-role", amount.start_pos, amount.end_pos, amount.text)


def strength_said(scan: Scanner) -> bool:
    return any(isinstance(c, Amount) and c.kind in STRENGTHS for c in scan.chunks)


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
    if isinstance(token, Piece) and token.lower() == "ammonia" and amount.text.lstrip("0") in (".880", ".88", "880"):
        # "880 ammonia" is ammonia of density 0.880, 35 % by mass (common practice, no source).
        facts.density, facts.label_strength = Quantity(Decimal("0.880"), "g/mL"), Quantity(Decimal(35), "% w/w")
        facts.source_words.add("concentrated")
        facts.notes.append("880 ammonia read as 35 % w/w, density 0.880 g/mL")
        return True
    if facts.density is not None or not ("." in amount.text and Decimal("0.6") < value < Decimal("2.2")):
        return False
    glued = scan.i > 1 and isinstance(scan.chunks[scan.i - 2], Amount)
    if not (scan.depth or glued) or not facts.strengths or facts.strengths[-1].quantity.unit not in ("%", "% w/w"):
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


def who(scan: Scanner, token: Piece) -> None:
    """ "24 students in groups of 4": how many sit in a group; any other word for people is only shown."""
    j, kind = scan.ahead(frozenset(("OF",)))
    amount = scan.amount(j) if kind == "NUMBER" and j > scan.i and payload(token) == "groups" else None
    if amount is None or amount.value is None or amount.value != int(amount.value) or not 1 < amount.value <= 100:
        scan.set_aside(token)
        return
    scan.facts.group_size, scan.i = int(amount.value), j + 1
    if scan.i < len(scan.chunks) and scan.chunks[scan.i].type == "WHO":
        scan.i += 1


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


def lots_of(scan: Scanner, count: int, fact: Fact) -> None:
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
    lots_of(scan, int(token.lstrip("xX ")), scan.facts.volumes.pop())


def keep_each(scan: Scanner, fact: Fact, token: Piece) -> None:
    if scan.facts.each is not None:
        raise ReadingError("two-volumes-each", fact.amount.start_pos, fact.amount.end_pos)
    scan.facts.each, scan.facts.each_who = fact, payload(token)


def each(scan: Scanner, token: Piece) -> None:
    """ "each" after other words belongs to the volume named last."""
    before = scan.chunks[scan.i - 2] if scan.i > 1 else None
    if before is not None and before.type == "WHO" and scan.facts.counts and payload(token) not in ("", "classes"):
        # "2 groups per bench": a number of groups that the number of benches multiplies.
        raise ReadingError("two-counts", token.start_pos, token.end_pos)
    if scan.facts.volumes and scan.facts.each is None:
        keep_each(scan, scan.facts.volumes.pop(), token)
    elif scan.facts.each is not None and not scan.facts.each_who:
        scan.facts.each_who = payload(token)
    elif scan.facts.each is None:
        j, kind = scan.ahead(JOINERS | {"IN"})
        amount = scan.amount(j) if kind == "QUANTITY" else None
        if amount is not None and amount.kind == "volume":
            if token.lower().startswith(("a ", "an ")) and not scan.facts.counts:
                return
            keep_each(scan, Fact(amount, scan.place, scan.loose, scan.after_to), token)
            scan.i = j + 1


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
