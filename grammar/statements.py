"""What stands beside a request and must agree with it: molar masses, lists of masses in one volume, water put in."""

import re
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from grammar.facts import Fact, Facts, ReadingError
from grammar.naming import Known, Reading
from grammar.request import Component, Prepare, Quantity
from grammar.roles import at
from grammar.units import UNITS, dimension, in_base, read_unit
from grammar.words import CHANGES, HARMLESS, IONS, TITLE

#: One portion more than the count says.
_ONE_MORE = re.compile(r"(?i:(?:\bplus|\band|\+)\s(?:1|one|another)\s(?:for|more|extra|spare|over)\b)")
_PEROXIDE = re.compile(r"(?i:perox|perhydrol)")
#: What reagent notation such as "(1+4)" takes to be the concentrated reagent.
_STRONG = re.compile(r"(?i:acid\b|ammonia\b|\b(?:H2SO4|HCl|HNO3|H3PO4|CH3COOH|HClO4|NH3|NH4OH|HF|HBr)\b)")


def molar_masses(facts: Facts, readings: Sequence[Reading]) -> None:
    """Keep each molar mass that was typed with the name before it, to be compared with the computed one."""
    for amount in facts.molar_masses:
        value = amount.value
        before = [r for r in readings if r.run.start < amount.start_pos] or list(readings[:1])
        owner = max(before, key=lambda r: r.run.start, default=None)
        if owner is None or value is None or owner.named.molar_mass not in (None, value):
            raise ReadingError("number-without-role", amount.start_pos, amount.end_pos, amount.text)
        owner.named = replace(owner.named, molar_mass=value)


def without_title(readings: list[Reading], text: str, known: Known) -> tuple[list[Reading], list[tuple[int, int]]]:
    """ "lysis buffer: 50 mM Tris ...": a heading before a colon that names nothing known is only shown."""
    first = min(readings, key=lambda r: r.run.start, default=None)
    if first is None or len(readings) < 2 or known is None or first.named.formula or first.named.water:
        return readings, []
    heads = text[first.run.end :].lstrip().startswith(":") and not any(c.isdigit() for c in text[: first.run.end])
    name = first.named.name.lower()
    if not heads or not TITLE.search(name) or known(name) or CHANGES.search(name):
        return readings, []
    return [r for r in readings if r is not first], [(first.run.start, first.run.end)]


def salt_of_the_ion(facts: Facts, target: list[Reading], sources: list[Reading]) -> tuple[list[Reading], list[Reading]]:
    """ "100 mg/L nitrate-N, 1 L, anhydrous potassium nitrate": an ion counted by its element, then the salt it is made from."""
    if len(target) != 2 or sources or facts.counted is None or len(facts.strengths) != 1:
        return target, sources
    ion, salt = target
    if ion.named.name.lower() not in IONS or salt.run.joined_by not in ("BREAK", "") or facts.source_opener:
        return target, sources
    facts.source_opener = "from"
    return [ion], [salt]


def one_volume(facts: Facts) -> None:
    """ "NaCl 8 g and KCl 0.2 g per litre": the volume said last counts for every mass before it."""
    listed = [f for f in facts.strengths if f.place != "source" and f.amount.kind == "mass per volume"]
    if not listed or not facts.masses:
        return
    last = listed[-1]
    if any(f.amount.start_pos > last.amount.start_pos for f in facts.masses) or len(listed) > 1:
        raise at(facts.masses[-1], "masses-unclear")
    below = last.quantity.unit.partition("/")[2]
    for fact in facts.masses:
        unit = read_unit(f"{fact.quantity.unit}/{below}")
        if unit is None or dimension(unit) != "mass per volume":
            raise at(fact, "masses-unclear")
        fact.amount.quantity, fact.amount.kind = Quantity(fact.quantity.value, unit), "mass per volume"
    facts.strengths += facts.masses
    facts.masses = []


def one_more(facts: Facts, text: str) -> None:
    """Raise at "plus one for me": one more portion than the count says."""
    found = _ONE_MORE.search(text) if facts.counts or facts.each else None
    if found is not None:
        raise ReadingError("amount-changed", *found.span())


def strong_in_parts(facts: Facts, names: Sequence[Reading], text: str) -> None:
    """ "sulfuric acid (1+4)" is one volume of the concentrated reagent and four of water, as reagent lists write it.

    Raises at "6 N HCl (1+1)": there the parts may be how the 6 N is made, or what is done with it.
    """
    dilution = facts.dilution
    if dilution is None or dilution.trouble is not None:
        return
    strong = any(_STRONG.search(f"{r.named.name} {r.named.formula or ''}") for r in names)
    said = facts.strengths or facts.label_strength or "stock" in facts.source_words
    if strong and not said and (dilution.parts or "concentrated" in facts.source_words):
        dilution.concentrated = True
        facts.source_words.add("concentrated")
    bracketed = text[: dilution.start].rstrip().endswith(("(", "["))
    if dilution.parts and bracketed and facts.strengths and not facts.dilution_said:
        raise ReadingError("parts-of-what", dilution.start, dilution.end)


def peroxide_only(components: tuple[Component, ...], strengths: list[Fact]) -> None:
    """Raise where "vol" is the strength of anything but hydrogen peroxide."""
    said = next((f for f in strengths if f.quantity.unit == "vol"), None)
    if said is None:
        return
    for part in components:
        name = f"{part.solute.name} {part.solute.formula or ''} {part.solute.cas or ''}"
        used = [part.strength, part.source.strength if part.source else None]
        peroxide = _PEROXIDE.search(name) or "H2O2" in name or "7722-84-1" in name
        if any(q is not None and q.unit == "vol" for q in used) and not peroxide:
            raise at(said, "volumes-of-oxygen")


def with_water_by_mass(facts: Facts, made: Prepare) -> Prepare:
    """ "10 g NaCl and 90 g water": the mass of the water is the solvent's, so the whole is that of both."""
    water = facts.water_mass
    if water is None or made.total != water.quantity:
        return made
    parts = [c.mass for c in made.components if c.mass is not None]
    if len(parts) != len(made.components):
        return made
    whole = in_base(water.quantity) + sum(in_base(q) for q in parts)
    value = (whole / UNITS[water.quantity.unit].factor).normalize()
    return replace(made, total=replace(water.quantity, value=Decimal(f"{value:f}")), solvent_volume=False)


def names_what_was_measured(facts: Facts, reading: Reading, text: str) -> bool:
    """Whether plain words stand right behind an amount ("10 mM Tris-Cl"): then they name its substance, known or not."""
    typed = reading.named.as_typed
    if reading.run.bracketed or typed.startswith("(") or len(typed) <= 2 or HARMLESS.fullmatch(typed):
        return False
    ends = (found.amount.end_pos for found in (*facts.strengths, *facts.masses))
    gaps = (text[end : reading.run.start] for end in ends if end <= reading.run.start)
    return any(gap.strip() in ("", "of") for gap in gaps)
