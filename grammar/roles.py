"""Which strength and which amount is to be made, and which belongs to the stock or the bottle."""

from dataclasses import replace
from decimal import Decimal

from grammar import ratios
from grammar.facts import Fact, Facts, ReadingError
from grammar.lexing import Amount
from grammar.request import Quantity
from grammar.tokens import piece
from grammar.units import UNITS, in_base

# A percentage from here on beside a molar strength is what the bottle holds; below it, two strengths are two strengths.
_REAGENT_PERCENT = Decimal(20)


def distinct(facts: list[Fact]) -> list[Fact]:
    """Facts without exact repeats in the same clause ("0.1 M ... 0.1 M" is said twice, not two strengths)."""
    kept: list[Fact] = []
    for fact in facts:
        if not any(k.quantity == fact.quantity and k.place == fact.place for k in kept):
            kept.append(fact)
    return kept


def at(fact: Fact, code: str) -> ReadingError:
    """The error for a fact, with its place in the text."""
    return ReadingError(code, fact.amount.start_pos, fact.amount.end_pos)


def in_the_flask(facts: Facts) -> None:
    """ "25 mL of 0.1 M NaCl in a 250 mL flask, made up to the mark": the solution named is the source, the flask says the total."""
    flask = facts.vessel_volume
    if (
        not facts.to_mark
        or facts.to_make
        or flask is None
        or len(facts.volumes) != 1
        or len(facts.strengths) != 1
        or facts.masses
    ):
        return
    volume, strength = facts.volumes[0], facts.strengths[0]
    if volume.place == strength.place == "open" and in_base(volume.quantity) < in_base(flask.quantity):
        volume.place = strength.place = "source"
        facts.source_opener = facts.source_opener or "dilute"


def strengths(facts: Facts) -> tuple[Quantity | None, Quantity | None]:
    """The strength to make and that of the source. Raises when a strength is left over."""
    found = distinct(facts.strengths)
    source = [f for f in found if f.place == "source" and not f.loose]
    target = [f for f in found if f.place != "source"]
    if len(target) > 1 and facts.label_strength is not None:
        target = [f for f in target if f.quantity != facts.label_strength] or target
    if len(target) > 1:
        # "... 2 mL of 5 % from 20 % stock. How much of the 20 % stock?": the stock named once more.
        target = [f for f in target if all(f.quantity != s.quantity for s in source)] or target
    loose = [f for f in found if f.place == "source" and f.loose]
    if len(target) > 1 and not loose:
        target, source = _bottle(facts, target, source)
    if len(target) == 2 and target[1].after_to and not target[0].after_to and not source:
        if target[1].quantity.unit == "%" and target[0].amount.kind != "percent":
            raise at(target[1], "two-strengths")
        source, target = [target[0]], [target[1]]
        facts.source_opener = facts.source_opener or "dilute"
    if _only_the_stock_is_given(facts, target, source):
        source, target = target, []
        facts.source_opener = "dilute"
    for fact in loose:
        if not target and (source or facts.label_strength or facts.source_opener != "dilute"):
            target.append(fact)
        elif not source and facts.label_strength is None:
            source.append(fact)
        else:
            raise at(fact, "two-strengths")
    if len(target) > 1:
        raise at(target[1], "two-strengths")
    if len(source) > 1:
        raise at(source[1], "two-source-strengths")
    if not target and source and facts.source_opener == "conc" and source[0].quantity.unit != "%":
        target, source = source, []
    if target and source and facts.source_opener == "conc" and _stronger(target[0].quantity, source[0].quantity):
        # "Acetic acid, glacial, 17.4 M: 1 M solution": the greater strength is that of the bottle.
        target, source = source, target
    if not target and len(source) == 1 and "solid" in facts.source_words and not _from_stock(facts):
        target, source = source, []
    strength = target[0].quantity if target else None
    if strength is not None and facts.counted and strength.of is None:
        strength = replace(strength, of=facts.counted)
    if strength is not None and strength.unit == "%" and facts.basis:
        strength = replace(strength, unit=facts.basis)
    if facts.dilution is not None and target and not source:
        _made_before_diluting(facts, target[0])
    return ratios.diluted(facts, strength, source[0].quantity if source else None)


def _stronger(one: Quantity, other: Quantity) -> bool:
    return UNITS[one.unit].dimension == UNITS[other.unit].dimension and in_base(one) > in_base(other)


def _made_before_diluting(facts: Facts, target: Fact) -> None:
    """ "0.1 M NaCl 100 mL, then dilute 1 in 10": the solution, its strength and its volume stand before the ratio."""
    dilution = facts.dilution
    assert dilution is not None
    before = target.amount.end_pos <= dilution.start and any(v.amount.end_pos <= dilution.start for v in facts.volumes)
    if before and facts.source_opener != "dilute":
        raise ReadingError("dilution-unclear", dilution.start, dilution.end)


def _from_stock(facts: Facts) -> bool:
    return bool(facts.source_words & {"stock", "concentrated"})


def _bottle(facts: Facts, target: list[Fact], source: list[Fact]) -> tuple[list[Fact], list[Fact]]:
    """ "HCl 32 %, d 1.16, 2 L of 0.5 M" and "0.2 M stock: 200 mL of 0.05 M": strengths that are the source's."""
    stocks = [f for f in target if f.stock]
    if len(stocks) == 1 and len(target) == 2 and not source:
        facts.source_words.add("stock")
        facts.source_opener = facts.source_opener or "stock"
        return [f for f in target if not f.stock], stocks
    percents = [f for f in target if f.quantity.unit in ("%", "% w/w")]
    if len(percents) == 1 and len(target) == 2 and not source and facts.label_strength is None:
        bottle = percents[0]
        if facts.density is not None or bottle.quantity.value >= _REAGENT_PERCENT:
            facts.label_strength = bottle.quantity
            return [f for f in target if f is not bottle], source
    return target, source


def _only_the_stock_is_given(facts: Facts, target: list[Fact], source: list[Fact]) -> bool:
    """ "10 mL of 6 M acid diluted to 100 mL": what was diluted is the source, its result is not said."""
    volumes_given = distinct(facts.volumes)
    return (
        facts.dilution is None
        and len(target) == 1
        and not _titled(facts, target[0])
        and not target[0].after_to
        and not source
        and len(volumes_given) == 2
        and (facts.diluted or (volumes_given[1].after_to and not volumes_given[0].after_to and not facts.masses))
    )


def _titled(facts: Facts, target: Fact) -> bool:
    """ "Sulfuric acid, 2 N: dilute 59 mL of the concentrated acid to 1 L": the strength before the verb is that to be made."""
    first = min((f.amount.start_pos for f in facts.volumes), default=0)
    if target.place != "open" or target.amount.start_pos > first:
        return False
    if "concentrated" in facts.source_words or facts.masses:
        return True
    return any(target.amount.end_pos <= verb < first for verb in facts.verbs)


def _bottled(facts: Facts) -> bool:
    return bool(facts.source_opener) or facts.density is not None


def volumes(facts: Facts, notes: list[str]) -> tuple[Quantity | None, Quantity | None]:
    """The volume to make and the volume of stock that is given. Raises when a volume is left over."""
    found = facts.volumes
    target = [f for f in found if f.place != "source"]
    source = [f for f in found if f.place == "source"]
    if len(target) == 2 and target[1].after_to and not target[0].after_to and not source and _bottled(facts):
        source, target = [target[0]], [target[1]]
    whole = facts.vessel_volume is None or facts.each is not None
    if not target and source and whole and (source[-1].loose or facts.source_opener == "conc"):
        target.append(source.pop())
    first_water = len(target) == 2 and _place(target[0]) in (facts.added_water, facts.water_in, *facts.water_volumes)
    if first_water and target[1].after_to and facts.vessel_volume is None:
        # "dissolve in 400 mL of water and make up to 500 mL": the first water is how it is done.
        facts.aside.append(_place(target[0]))
        facts.solvent_volume = False
        del target[0]
    if len(target) == 2 and facts.masses and _said_again(facts, *target):
        # "one litre of ... is made by dissolving ... to make 1 L": one volume, said twice.
        del target[1]
    if len(target) > 1:
        raise at(target[1], "water-added" if facts.added_water == _place(target[1]) else "two-volumes")
    if len(source) > 1:
        raise at(source[1], "two-volumes")
    if target and facts.added_water == _place(target[0]):
        if facts.strengths:
            raise at(target[0], "water-added")
        facts.solvent_volume = True
    if not target and facts.vessel_volume is not None and facts.each is None:
        target = [facts.vessel_volume]
        notes.append("the size of the vessel taken as the volume to make")
    return target[0].quantity if target else None, source[0].quantity if source else None


def _said_again(facts: Facts, one: Fact, other: Fact) -> bool:
    """Whether two volumes are one: the same, neither of them water or what is added ("in 50 mL ethanol, add 50 mL water")."""
    if in_base(one.quantity) != in_base(other.quantity) or {_place(one), _place(other)} & set(facts.water_volumes):
        return False
    return not any(one.amount.end_pos <= verb < other.amount.start_pos for verb in facts.verbs)


def _place(fact: Fact) -> tuple[int, int]:
    return fact.amount.start_pos, fact.amount.end_pos


def from_moles(facts: Facts, other: Quantity | None, total: Quantity | None, notes: list[str]) -> Quantity:
    """ "5 mmol in 50 mL" is 0.1 mol/L. Raises where there is no volume, or a strength or mass as well."""
    moles = facts.moles
    assert moles is not None
    if (
        total is None
        or other is not None
        or facts.solvent_volume
        or UNITS[total.unit].dimension != "volume"
        or total.value <= 0
    ):
        raise at(moles, "amount-of-substance")
    made = Quantity((in_base(moles.quantity) * 1000 / in_base(total)).normalize(), "mol/L")
    notes.append(f"{moles.quantity.value} {moles.quantity.unit} in {total.value} {total.unit}")
    return replace(made, value=Decimal(f"{made.value:f}"))


def masses(facts: Facts, strength: Quantity | None, total: Quantity | None) -> tuple[Quantity | None, Quantity | None]:
    """A mass is the amount to make when no volume is given; beside a volume, or water by mass, it is the solute's."""
    found = distinct(facts.masses)
    water = facts.water_mass
    if water is not None:
        if total is not None:
            raise at(water, "two-volumes")
        if facts.solvent is not None and "water" not in facts.solvent:
            raise at(water, "two-substances")
        total, facts.solvent_volume = water.quantity, True
        facts.solvent = facts.solvent or "water"
    if not found:
        return None, total
    if len(found) > 1:
        raise at(found[1], "two-masses")
    if total is None and facts.each is None:
        return None, found[0].quantity
    if strength is not None and not _restates(strength, total, facts):
        raise at(found[0], "mass-and-volume")
    if strength is not None and facts.solvent_volume:
        # "0.1 M: dissolve 1.76 g in 100 mL of water" is the volume of the solution, as the mass must bear out.
        facts.solvent_volume = False
    return found[0].quantity, total


def _restates(strength: Quantity, total: Quantity | None, facts: Facts) -> bool:
    """Whether a mass beside strength and volume can only be how the same solution is made, to be compared with it."""
    whole = total is not None and UNITS[total.unit].dimension == "volume"
    return (
        whole
        and UNITS[strength.unit].dimension in ("molar", "normal", "mass per volume", "parts", "percent")
        and facts.water_mass is None
        and not facts.each
    )


def restated(facts: Facts, notes: list[str]) -> None:
    """ "2 M sodium nitrate (170 g/L), 500 mL": a mass per volume said after a molar strength is that mass in the whole."""
    open_ = [f for f in facts.strengths if f.place == "open"]
    if len(open_) != 2 or len(facts.strengths) != 2 or facts.masses or facts.each or facts.label_strength:
        return
    molar, per_volume = open_
    whole = [v for v in facts.volumes if v.place == "open"]
    unit = per_volume.quantity.unit
    if (
        molar.amount.kind not in ("molar", "normal")
        or per_volume.amount.kind != "mass per volume"
        or facts.source_opener
    ):
        return
    if len(whole) != len(facts.volumes) or len(whole) > 1 or per_volume.after_to or not unit.endswith("/L"):
        return
    if not whole and facts.vessel_volume is None:
        litre = Amount(piece("NUMBER", "1", *_place(per_volume)), piece("UNIT", "L", *_place(per_volume)))
        litre.settle(None)
        whole = [Fact(litre, "open", False, False)]
        facts.volumes = whole
        notes.append("the mass is said per litre, so 1 L is taken as the amount to make")
    if not whole:
        return
    mass = in_base(whole[0].quantity) / 1000 * per_volume.quantity.value
    per_volume.amount.quantity = Quantity(Decimal(f"{mass.normalize():f}"), unit.partition("/")[0])
    per_volume.amount.kind = "mass"
    facts.strengths = [molar]
    facts.masses = [per_volume]
