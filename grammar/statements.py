"""What stands beside a request and must agree with it: molar masses, lists of masses in one volume, water put in."""

import re
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from grammar.facts import Fact, Facts, ReadingError
from grammar.formula import ELEMENTS
from grammar.naming import Known, Reading
from grammar.request import Component, Prepare, Quantity
from grammar.roles import at
from grammar.units import UNITS, dimension, in_base, read_unit
from grammar.words import CHANGES, CHEMICAL_WORD, HARMLESS, IONS, TITLE, USUAL_BASES

#: One portion more than the count says.
_ONE_MORE = re.compile(r"(?i:(?:\bplus|\band|\+)\s(?:1|one|another)\s(?:for|more|extra|spare|over)\b)")
_PEROXIDE = re.compile(r"(?i:perox|perhydrol)")
HALOGENS = frozenset(("chlorine", "bromine", "iodine", "fluorine"))
#: "Buffer B:", "Solution 2:": the heading of one of several solutions.
_HEADED = re.compile(r"(?i:\b(?:buffer|solution|reagent|stock|medium)\s(?:[a-z]|\d{1,2}|[ivx]{1,3})\s?:)")
#: "Biuret reagent. Dissolve 1.5 g of ...": a heading that ends in a full stop.
_TITLE_STOP = re.compile(r"((?:[^.:;,]|\.(?=\d)){3,60})\.\s(?=(?i:dissolve|dilute|weigh|mix|add|transfer|take)\b)")
#: A mass with no name of its own behind it.
_UNNAMED_MASS = re.compile(r"\s*(?:[,;.]|(?:in|to|and|with|up|made|then|per)\b)")
#: What stands between two ways to say one strength.
_RESAID = re.compile(r"(?i:\s*(?:[(\[=]|,?\s*(?:or|i\.e\.,?|that is,?)\s)\s*)")
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


def _named_in(listed: list[Reading], known: Known) -> frozenset[str]:
    """The substances that the names of a list mean."""
    slugs: set[str] = set()
    for reading in listed:
        found = known((reading.named.name or reading.named.formula or "").lower()) if known is not None else None
        slugs |= found if isinstance(found, frozenset) else set()
    return frozenset(slugs)


def without_title(
    facts: Facts, readings: list[Reading], text: str, known: Known
) -> tuple[list[Reading], list[tuple[int, int]]]:
    """ "lysis buffer: 50 mM Tris ...", "Ringer's solution: NaCl 6.5 g ...": a heading before a list of what is in it is only shown.

    It names nothing known, or a mixture, and no amount stands in it but "10x" or a pH, which the list itself makes.
    """
    colon = _end_of_title(text)
    headed = list(_HEADED.finditer(text)) if text.count(":") > 1 else []
    if len(headed) > 1:
        raise ReadingError("several-solutions", *headed[1].span())
    heads = [r for r in readings if r.run.end <= colon]
    amounts = [f for f in (*facts.strengths, *facts.masses) if f.amount.kind != "fold"]
    listed = [r for r in readings if r.run.start > colon and r.chemical]
    first = next((m.amount for m in facts.masses if m.amount.start_pos > colon), None)
    named_before = first is not None and any(colon < r.run.start < first.start_pos for r in readings)
    if first is not None and not named_before and _UNNAMED_MASS.match(text, first.end_pos):
        # "Phenolphthalein indicator: dissolve 0.5 g in ...": the mass is of what the heading names.
        return readings, []
    if not heads or not listed or known is None or not amounts or any(f.amount.start_pos < colon for f in amounts):
        return readings, []
    for reading in heads:
        named = reading.named
        found = known(named.name.lower())
        mixture = isinstance(found, frozenset) and bool(found) and all(f.startswith("mixture ") for f in found)
        # A premix or a stain by name ("LB agar"), above the list of what it is made of.
        # "Starch indicator: 1 g soluble starch in ...": the heading names what is in the list again.
        slugs = (
            frozenset(f for f in found if not f.startswith("mixture ")) if isinstance(found, frozenset) else frozenset()
        )
        mixture = mixture or (bool(slugs) and slugs <= _named_in(listed, known))
        mixture = mixture or (bool(found) and len(listed) > 1 and not CHEMICAL_WORD.search(named.name))
        if named.formula or named.water or named.cas or (found and not mixture):
            return readings, []
        if not mixture and not TITLE.search(text, 0, colon) and CHEMICAL_WORD.search(named.name):
            return readings, []
    folded = any(f.amount.kind == "fold" and f.amount.start_pos < colon for f in facts.strengths)
    if folded and amounts[0] in facts.strengths:
        # "10x stock: 0.44 g/L ..." may list what the stock holds or what it gives when it is diluted.
        return readings, []
    if CHANGES.search(text, 0, colon) or any(v.amount.start_pos < colon for v in facts.volumes):
        return readings, []
    facts.strengths = [f for f in facts.strengths if f.amount.start_pos > colon]
    if facts.ph_at is not None and facts.ph_at < colon and len(facts.masses) >= len(listed):
        facts.ph = None
    return [r for r in readings if r not in heads], [(0, colon)]


def _end_of_title(text: str) -> int:
    """Where the heading of a recipe ends: at its colon, or at the full stop before what is done; -1 where there is none."""
    colon = text.find(":")
    stop = _TITLE_STOP.match(text)
    return stop.end(1) if stop is not None and (colon < 0 or stop.end(1) < colon) else colon


def counted_by(facts: Facts, target: list[Reading], sources: list[Reading]) -> list[Reading]:
    """ "calcium standard (100 ppm Ca): dissolve 0.25 g of calcium carbonate": elements and ions beside one salt are what is counted.

    Only where the whole text has one strength, a mass in a volume, and nothing joins the names by "and".
    """
    if _headed_by_ion(facts, target, sources):
        facts.aside.append((target[0].run.start, target[0].run.end))
        return target[1:]
    made = [f for f in facts.strengths if f.place != "source"]
    if (
        len(target) < 2 + (facts.counted is not None and not facts.masses)
        or sources
        or facts.source_opener
        or facts.medium
    ):
        return target
    if len(made) != 1 or len(facts.strengths) != 1:
        return target
    strength = made[0]
    elements = [r for r in target if _counted_name(r) is not None]
    salts = [r for r in target if r not in elements]
    if (
        len(salts) != 1
        or not elements
        or strength.quantity.of
        or any(r.run.joined_by in ("AND", "WITH") for r in target)
    ):
        return target
    if strength.amount.kind not in ("mass per volume", "parts"):
        return target
    behind = [r for r in elements if r.run.start >= strength.amount.end_pos]
    of = _counted_name(min(behind, key=lambda r: r.run.start) if behind else elements[-1])
    strength.amount.quantity = replace(strength.quantity, of=facts.counted or of)
    facts.counted = None
    return salts


def _headed_by_ion(facts: Facts, target: list[Reading], sources: list[Reading]) -> bool:
    """ "stock nitrate solution: 0.625 g of potassium nitrate in 1 L": the ion is a heading where only the salt has an amount."""
    if (
        len(target) != 2
        or sources
        or facts.strengths
        or len(facts.masses) != 1
        or target[1].run.joined_by in ("AND", "WITH")
    ):
        return False
    heading, salt = target
    alone = _counted_name(heading) is not None and facts.masses[0].amount.start_pos > heading.run.end
    return alone and facts.masses[0].amount.end_pos <= salt.run.start


def _counted_name(reading: Reading) -> str | None:
    named = reading.named
    if named.water or named.cas:
        return None
    if (
        named.formula
        and (named.formula in ELEMENTS or named.formula in USUAL_BASES)
        and named.name.lower() in ("", *IONS)
    ):
        return named.formula
    # "iodine 100 ppm, potassium iodide": the element itself is meant, kept in solution by the salt.
    return named.name if named.name.lower() in IONS - HALOGENS and not named.formula else None


def salt_of_the_ion(facts: Facts, target: list[Reading], sources: list[Reading]) -> tuple[list[Reading], list[Reading]]:
    """ "100 mg/L nitrate-N, 1 L, anhydrous potassium nitrate": an ion counted by its element, then the salt it is made from."""
    if len(target) != 2 or sources or facts.counted is None or len(facts.strengths) != 1:
        return target, sources
    ion, salt = target
    if ion.named.name.lower() not in IONS or salt.run.joined_by not in ("BREAK", "") or facts.source_opener:
        return target, sources
    facts.source_opener = "from"
    return [ion], [salt]


def strength_said_twice(facts: Facts, text: str) -> None:
    """ "N/2 (M/4)", "0.9 % (154 mM)": one strength said in two ways; the molar one is kept, the other to be compared with it."""
    said = sorted((f for f in facts.strengths if f.place == "open"), key=lambda f: f.amount.start_pos)
    if len(said) != 2 or len(facts.strengths) != 2 or facts.label_strength or facts.dilution or facts.density:
        return
    one, two = said
    if not _RESAID.fullmatch(text[one.amount.end_pos : two.amount.start_pos]):
        return
    kinds = one.amount.kind, two.amount.kind
    if kinds[0] == kinds[1]:
        if in_base(one.quantity) == in_base(two.quantity):
            facts.strengths.remove(two)
        return
    if not {*kinds} <= {"molar", "normal", "mass per volume", "percent"}:
        return
    other = one if two.amount.kind == "molar" else two
    facts.strengths.remove(other)
    facts.also = other.quantity


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
