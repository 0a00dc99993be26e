"""Several strengths of one solute: lists of numbers that share a unit, calibration series and serial dilutions."""

import re
from dataclasses import replace
from decimal import Decimal

from grammar.facts import Fact, Facts, ReadingError, Scanner
from grammar.lexing import Amount
from grammar.request import Quantity
from grammar.roles import at
from grammar.tokens import Piece
from grammar.units import STRENGTHS, UNITS, in_base

_SEPARATORS = frozenset((",", "/", "|"))
LONGEST_SERIES = 30
_LEADING_ZERO = re.compile(r"0\d")


def listed(scan: Scanner, first: Amount) -> bool:
    """ "0, 2, 4 and 6 mg/L": numbers up to one with a unit of strength take that unit. False where it is no such list."""
    values, j, joined = [first], scan.i, False
    chunks = scan.chunks
    while j + 1 < len(chunks) and len(values) <= LONGEST_SERIES:
        after = j + (chunks[j] in _SEPARATORS)
        joined = chunks[after].type == "AND" if after < len(chunks) else False
        after += joined
        amount = scan.amount(after)
        if after == j or amount is None or amount.value is None or _LEADING_ZERO.match(amount.text):
            return False
        values.append(amount)
        j = after + 1
        if amount.type == "QUANTITY":
            break
    last = values[-1]
    if len(values) == 2 and not joined:
        # "0,.1 M" and "0/.1 M" are slips of the keyboard, not lists of two.
        return False
    if last.type != "QUANTITY" or last.kind not in STRENGTHS or last.quantity is None:
        return False
    for amount in values:
        assert amount.value is not None
        amount.quantity = Quantity(amount.value, last.quantity.unit)
        amount.kind = last.kind
        fact = Fact(amount, scan.place, scan.loose, scan.after_to)
        (scan.facts.strengths if scan.place == "source" else scan.facts.series).append(fact)
    scan.i = j
    return True


def ranged(scan: Scanner, low: Amount) -> bool:
    """ "95-97 %", "0.1 to 0.5 M": a range is asked about. In a series it is kept, to say which strengths are missing."""
    sign = scan.chunks[scan.i] if scan.i < len(scan.chunks) else None
    high = scan.amount(scan.i + 1)
    if sign not in ("-", "to") or high is None or high.quantity is None or low.value is None:
        return False
    place = (low.start_pos, high.end_pos)
    if any(c.type == "SERIES" for c in scan.chunks):
        scan.facts.range, scan.facts.range_of = place, (low.value, high.quantity)
        if scan.place == "source" and not scan.facts.runs and not scan.facts.strengths:
            # "standards from 1 to 5 ppm": the "from" of a range.
            scan.place, scan.loose, scan.facts.source_opener = "open", False, ""
        scan.i += 2
        return True
    unit = f" {high.unit_text}"
    middle = ((low.value + high.quantity.value) / 2).normalize()
    readings = tuple(f"{value}{unit}" for value in (f"{middle:f}", low.text, high.text))
    raise ReadingError("range", *place, "", readings)


def _evenly_spaced(facts: Facts) -> tuple[Quantity, ...]:
    """ "five standards, 1 to 5 ppm": the strengths at even steps; none where the steps are not plain numbers."""
    if facts.range_of is None or facts.series_count is None or facts.series_count < 2:
        return ()
    low, high = facts.range_of
    step = (high.value - low) / (facts.series_count - 1)
    steps = [(low + step * n).normalize() for n in range(facts.series_count)]
    if step <= 0 or any(len(value.as_tuple().digits) > 3 for value in steps):
        return ()
    return tuple(Quantity(Decimal(f"{value:f}"), high.unit) for value in steps)


def named(scan: Scanner, token: Piece) -> None:
    """ "calibration series", "serial dilution", "standards"."""
    scan.facts.series_named = scan.facts.series_named or token.lower()


def blank(scan: Scanner, _token: Piece) -> None:
    """ "and a blank": one more solution, without solute."""
    scan.facts.blank = True


def strengths(facts: Facts) -> tuple[tuple[Quantity, ...], Quantity | None] | None:
    """The strengths of the series and that of its stock; None where one solution is wanted after all."""
    listed_there = [f for f in [*facts.series, *facts.strengths] if f.place != "source"]
    listed_there.sort(key=lambda fact: fact.amount.start_pos)
    stocks = [f.quantity for f in facts.strengths if f.place == "source"]
    if len(stocks) > 1:
        return None
    stock = stocks[0] if stocks else facts.label_strength
    if facts.dilution is not None and facts.dilution.trouble is None and not facts.series:
        return _serial(facts, [f.quantity for f in listed_there], stock)
    if facts.range is not None:
        spaced = tuple(q for q in _evenly_spaced(facts) if q.value)
        if not spaced or len(listed_there) > 1:
            raise ReadingError("series-unclear", *facts.range)
        return spaced, stock or (listed_there[0].quantity if listed_there else None)
    if len(listed_there) > 1 and listed_there[-1].stock and stock is None:
        stock = listed_there.pop().quantity
    stock = stock or _stock_of_series(facts, listed_there)
    bases = {f.quantity.unit for f in listed_there if f.quantity.unit.startswith("% ")}
    if len(bases) == 1 and any(f.quantity.unit == "%" for f in listed_there):
        # "8 %, 4 % and 2 % w/v": the basis said once counts for all.
        for fact in listed_there:
            fact.amount.quantity = replace(fact.quantity, unit=next(iter(bases)))
    wanted = tuple(dict.fromkeys(f.quantity for f in listed_there))
    if len(wanted) < 2 or len({UNITS[q.unit].dimension for q in wanted}) > 1:
        return None
    made = tuple(q for q in wanted if q.value)
    if len(made) < 2:
        return None
    return made, stock


def _stock_of_series(facts: Facts, listed_there: list[Fact]) -> Quantity | None:
    """ "dilution series of 1 M NaCl: 0.5, 0.25 and 0.125 M": the strength outside the list, above all in it, is the stock."""
    outside = [f for f in facts.strengths if f.place != "source"]
    if "dilut" not in facts.series_named or len(outside) != 1 or not facts.series:
        return None
    stock = outside[0].quantity
    if any(UNITS[f.quantity.unit].dimension != UNITS[stock.unit].dimension for f in facts.series):
        return None
    if any(in_base(f.quantity) >= in_base(stock) for f in facts.series):
        return None
    listed_there.remove(outside[0])
    return stock


def _serial(
    facts: Facts, wanted: list[Quantity], stock: Quantity | None
) -> tuple[tuple[Quantity, ...], Quantity | None] | None:
    """Each strength of a serial dilution is ``factor`` times weaker than the one before, the first from the stock."""
    dilution = facts.dilution
    assert dilution is not None
    stock = stock or (wanted[0] if wanted else None)
    count = facts.repeats
    if count is None or count < 2:
        if "serial" in facts.series_named:
            raise ReadingError("series-unclear", dilution.start, dilution.end)
        return None
    if stock is None or count > LONGEST_SERIES or dilution.factor <= 1 or len(wanted) > 1:
        raise ReadingError("series-unclear", dilution.start, dilution.end)
    made = tuple(Quantity(stock.value / dilution.factor**n, stock.unit, stock.of) for n in range(1, count + 1))
    return made, stock


def each(facts: Facts) -> Quantity | None:
    """The volume of each solution."""
    if facts.each is not None:
        return facts.each.quantity
    open_ = [v for v in facts.volumes if v.place != "source" or v.loose]
    if len(open_) > 1 or len(open_) != len(facts.volumes):
        raise at(facts.volumes[-1], "two-volumes")
    if open_:
        return open_[0].quantity
    return facts.vessel_volume.quantity if facts.vessel_volume is not None else None
