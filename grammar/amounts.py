"""Amounts and the words that belong to numbers: each handler files what it finds in ``Scanner.facts``."""

from dataclasses import replace

from grammar import counting, ware
from grammar.facts import JOINERS, NAME_TYPES, Fact, ReadingError, Scanner
from grammar.formula import ELEMENTS
from grammar.lexing import Amount, payload
from grammar.request import Quantity
from grammar.tokens import Piece
from grammar.units import BASES, STRENGTHS, dimension, read_unit
from grammar.words import ADJUSTERS, IONS, USUAL_BASES

#: Above this a temperature beside "dry" is that of the oven.
HOTTEST_SOLUTION_degC = 60
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
        elif after == "WATER" and _is_of_water(scan, j) and facts.water_mass is None:
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
        if facts.dried and amount.quantity.value > HOTTEST_SOLUTION_degC:
            facts.aside.append((amount.start_pos, amount.end_pos))  # "dry the salt at 110 °C, then ..."
        else:
            facts.temperature = amount.quantity
    elif kind == "molar mass":
        facts.molar_masses.append(amount)
    elif kind == "time":
        if amount.quantity.unit in ("day", "week"):
            # "100 mL a day for 5 days": days may multiply the amount; how long something is dried is read elsewhere.
            raise ReadingError("amount-changed", amount.start_pos, amount.end_pos)
        facts.aside.append((amount.start_pos, amount.end_pos))
    elif facts.moles is None and fact.place == "open":
        facts.moles = fact
    else:
        raise ReadingError("amount-of-substance", amount.start_pos, amount.end_pos)


def _added_to(scan: Scanner) -> bool:
    """ "add ... to 100 mL": the volume is that of what is there already; "add ..., make up to 100 mL" is the whole."""
    k = scan.i - 2
    while k >= 0 and scan.chunks[k].type in ("FILLER", "APPROX"):
        k -= 1
    if k < 0 or scan.chunks[k] not in ("to", "into", "onto") or scan.chunks[k - 1].type in ("COMMAND", "DOWNTO"):
        return False
    fillers = frozenset(("FILLER", "APPROX"))
    added = (i for i, c in enumerate(scan.chunks[:k]) if c.type in ("ADD", "MIX"))
    return any(scan.ahead(fillers, i + 1)[1] != "WATER" for i in added)


def _is_of_water(scan: Scanner, water: int) -> bool:
    """Whether a mass is that of the water after it. "sucrose 20 g distilled water 1 L" is a list: the water has its own amount."""
    measured = scan.amount(water + 1)
    listed = water == scan.i and measured is not None and measured.kind == "volume"
    return not listed and scan.ahead(_NONE, water + 1)[1] not in NAME_TYPES


def _volume(scan: Scanner, fact: Fact) -> None:
    if scan.ahead(frozenset(("OF", "FILLER")))[1] == "WATER":
        place = (fact.amount.start_pos, fact.amount.end_pos)
        scan.facts.water_volumes.append(place)
        if _joined(scan):
            scan.facts.added_water = place
    if fact.after_to and _added_to(scan):
        # "add 25 mL of 6 M acid to 100 mL of water": the water has that volume, not the solution.
        scan.facts.solvent_volume = True
        scan.facts.solvent = scan.facts.solvent or "water"
    if fact.place == "open" and scan.ahead(frozenset(("OF", "FILLER")))[1] in ("CONC", "GLACIAL"):
        # "8.3 mL of concentrated acid": so much is taken of the bottle.
        fact.place = "source"
    j, kind = scan.ahead(frozenset(("MATERIAL",)))
    lots = fact.amount.lots
    if kind == "SPARE":
        scan.facts.spare_amount, scan.i = fact, j + 1
        return
    if lots is not None:
        if fact.amount.text[len(str(lots)) :][:1] in "xX" and not counting.strength_said(scan):
            raise ReadingError("lots-or-fold", fact.amount.start_pos, fact.amount.end_pos)
        counting.lots_of(scan, lots, fact)
        return
    if kind == "VESSEL":
        materials = [payload(t) for t in scan.chunks[scan.i : j] if isinstance(t, Piece)]
        ware.keep_vessel(scan, scan.chunks[j], fact, materials)  # type: ignore[arg-type]
        scan.i = j + 1
    elif kind == "EACH":
        counting.keep_each(scan, fact, scan.chunks[j])  # type: ignore[arg-type]
        scan.i = j + 1
    else:
        if (
            fact.place == "source"
            and kind != "OF"
            and (_source_named(scan) or any(f.place == "source" for f in scan.facts.strengths))
        ):
            fact.loose = True
        scan.facts.volumes.append(fact)


def per_volume(scan: Scanner, token: Piece) -> None:
    """ "1000 mg Cu per litre": the mass named last is a strength."""
    facts = scan.facts
    named_last = facts.masses[-1] if facts.masses else None
    unit = (
        read_unit(f"{named_last.quantity.unit}/{token.lower().split(None, 1)[-1].lstrip('/ ')}") if named_last else None
    )
    if named_last is None or unit is None or dimension(unit) not in STRENGTHS:
        raise ReadingError("number-without-role", token.start_pos, token.end_pos, str(token))
    facts.masses.pop()
    named_last.amount.quantity = Quantity(named_last.quantity.value, unit)
    named_last.amount.kind = dimension(unit)
    facts.strengths.append(named_last)


def _source_named(scan: Scanner) -> bool:
    return any(run.place == "source" for run in scan.facts.runs)


def _strength(scan: Scanner, fact: Fact) -> None:
    facts, amount = scan.facts, fact.amount
    quantity = fact.quantity
    if scan.place == "medium" and facts.medium is None:
        facts.medium = fact
        return
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


def _joined(scan: Scanner) -> bool:
    """Whether the volume is put to something said before ("10 mL of 1 M NaCl plus 90 mL water")."""
    k = scan.i - 2
    while k >= 0 and scan.chunks[k].type in ("FILLER", "APPROX", "EACH"):
        if str(scan.chunks[k]).lower().startswith("dissolv"):
            return False  # "weigh 8 g and dissolve in 1000 mL of water"
        k -= 1
    return k > 0 and (scan.chunks[k].type in ("AND", "WITH", "BY") or scan.chunks[k] == "+")


def _plus_spare(scan: Scanner) -> bool:
    """ "10 mL per student plus 20 %": a bare percentage added to a volume, with nothing after it to be its substance."""
    before = scan.chunks[scan.i - 2] if scan.i > 1 else None
    after = scan.ahead(frozenset(("FILLER", "STOP", "BREAK")))[1]
    return before == "plus" and after not in NAME_TYPES and bool(scan.facts.volumes or scan.facts.each)


def as_(scan: Scanner, _token: Piece) -> None:
    """ "as Cu", "(as CaCO3)", "as N": what the strength before it counts. "as the pentahydrate" is the form weighed."""
    j, kind = scan.ahead(frozenset(("FILLER",)))
    label = scan.facts.label_strength
    if kind not in ("FORMULA", "WORD") or not (scan.facts.strengths or label):
        return
    name = scan.chunks[j]
    measured = next((c for c in reversed(scan.chunks[: scan.i]) if isinstance(c, Amount)), None)
    if label is not None and measured is not None and measured.quantity is label:
        scan.facts.label_strength, scan.i = replace(label, of=str(name)), j + 1
        return
    if not scan.facts.strengths:
        return
    following = scan.ahead(_NONE, j + 1)[1]
    counted = scan.facts.strengths[-1].amount
    if not isinstance(name, Piece):
        return
    target = scan.facts.runs[-1].tokens if scan.facts.runs else []
    salt = (
        kind == "FORMULA"
        and name not in USUAL_BASES
        and len(target) == 1
        and (target[0].lower() in IONS or target[0] in ELEMENTS or target[0] in USUAL_BASES)
    )
    if name not in (*ELEMENTS, *USUAL_BASES) and (
        salt or following in NAME_TYPES or not (kind == "FORMULA" or name.lower() in IONS)
    ):
        scan.place, scan.loose = "source", False
        scan.facts.source_opener = scan.facts.source_opener or "from"
    elif counted.quantity is not None:
        if counted.quantity.of is not None and counted.quantity.of != name:
            raise ReadingError("two-bases", name.start_pos, name.end_pos)
        counted.quantity = Quantity(counted.quantity.value, counted.quantity.unit, str(name))
        scan.i = j + 1


def acidity(scan: Scanner, token: Piece) -> None:
    """ "pH 7.4", "pH to 7.4 with HCl": what the pH is set with is only shown, for the plan says so itself."""
    j, _ = scan.ahead(JOINERS | {"TO"})
    amount = scan.amount(j)
    if amount is None or amount.type != "NUMBER":
        scan.set_aside(token)
        return
    scan.facts.ph, scan.facts.ph_at, scan.i = amount.value, token.start_pos, j + 1
    _set_with(scan)


def _set_with(scan: Scanner) -> None:
    """ "with 5 N NaOH", "using HCl" straight after a pH; "with 1 mM EDTA" is one more solute and stays."""
    start, kind = scan.ahead(frozenset(("FILLER",)))
    if kind not in ("WITH", "FROM", "BY"):
        return
    end, name, strength = start + 1, "", False
    while end < len(scan.chunks):
        chunk = scan.chunks[end]
        if isinstance(chunk, Amount):
            strength = chunk.kind in STRENGTHS
            if not strength:
                return
        elif chunk.type in NAME_TYPES:
            name = f"{name} {chunk}".strip()
        elif chunk.type not in ("CONC", "GLACIAL", "DILUTE", "FILLER", "OF"):
            break
        end += 1
    if kind == "FROM" and scan.ahead(_NONE, end)[1] == "AND":
        # "pH 4.6 from acetic acid and sodium acetate": the two that the buffer is made from.
        return
    before = scan.chunks[: scan.i][-6:]
    setting = any(isinstance(c, Piece) and (c.type == "TO" or "adjust" in c.lower()) for c in before)
    if name.lower() in ADJUSTERS and (setting or not strength):
        scan.facts.aside.append((scan.chunks[start].start_pos, scan.chunks[end - 1].end_pos))
        scan.i = end
