"""From runs of words to ``Named``: words, formula, water of crystallisation and CAS number kept apart."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from grammar import words
from grammar.facts import ReadingError, Run
from grammar.formula import ELEMENTS, WATER_PATTERN, Formula, hydrate_water, read_formula
from grammar.request import Named
from grammar.tokens import Piece

_LOTS = re.compile(r"[xX]\d+")
_WATER_AFTER_WORD = re.compile(rf"([A-Za-z][A-Za-z0-9-]*?)[\s.,*+x]+({WATER_PATTERN})")
# A unit left without its number is never a name ("500 mL of M NaOH").
_BARE_UNITS = frozenset(
    ("M", "N", "mL", "ml", "mM", "uM", "L", "ppm", "ppb", "mg", "kg", "molar", "litre", "litres", "liter")
)
# Ends of words that a slip of the space bar cuts off: "sulphi te" is as near sulphate as sulphite.
_FRAGMENTS = frozenset(
    ("ate", "ite", "ide", "te", "de", "ium", "ic", "ous", "hate", "hite", "fate", "fite", "phate", "phite")
)
# The acid written after a base in the name of its salt ("thiamine HCl").
_SALTS = {"HCl": "hydrochloride", "HBr": "hydrobromide"}
# What a solution is for, said as part of its name ("potassium chromate indicator").
_ROLES = frozenset(("indicator", "titrant", "stain", "reagent", "test", "diluent", "eluent", "electrolyte"))
# Whether words name a substance. A set says which ones, so that two names of one substance can be told from two substances.
Known = Callable[[str], bool | frozenset[str]] | None


@dataclass(slots=True)
class Reading:
    """One run read as a name; ``chemical``: something in it shows that a substance is meant."""

    run: Run
    named: Named
    chemical: bool
    notes: tuple[str, ...]


def read_run(run: Run, typed: str, known: Known) -> Reading:
    """Read one run. Raises ``ReadingError`` when two formulas or two different waters stand in it."""
    parts: list[str] = []
    formula: str | None = None
    water: str | None = None
    cas: str | None = None
    notes: list[str] = []
    chemical = False
    for token in run.tokens:
        kind = token.type
        if kind == "FORMULA":
            read = Formula(str(token)) if token in ELEMENTS else read_formula(str(token))
            if read is None:
                parts, water = _word_with_water(token, parts, water)
                continue
            if formula is not None and formula != read.text:
                raise _at(token, "two-substances")
            formula = read.text
            if read.water is not None:
                water = None if any(_vague(t) for t in run.tokens) else water
                water = _one_water(water, read.water, token)
            if read.note:
                notes.append(read.note)
        elif kind == "HYDRATE":
            found = hydrate_water(str(token))
            if found is None:
                parts.append(str(token))
            else:
                water = water if _vague(token) and water else _one_water(water, found, token)
        elif kind == "CAS":
            cas = str(token)
        elif kind == "OXIDATION":
            chemical = True
            state = str(token).strip().upper()
            if parts:
                parts[-1] += state
            else:
                parts.append(state)
        elif parts and token.islower() and token in _FRAGMENTS:
            joined = f"{parts[-1]}{token}"
            raise ReadingError("broken-word", token.start_pos, token.end_pos, str(token), (joined,))
        elif str(token) in _BARE_UNITS:
            raise ReadingError("unit-without-number", token.start_pos, token.end_pos, "", (f"1 {token}",))
        else:
            parts.append(str(token))
    name = " ".join(parts)
    if formula and name.lower() in words.BEFORE_FORMULA:
        name = ""
    if name and formula in _SALTS and known is not None and known(f"{name} {_SALTS[formula]}".lower()):
        name, formula = f"{name} {_SALTS[formula]}", None
    if name and formula and water is None and known is not None and known(f"{name} {formula}".lower()):
        name, formula = f"{name} {formula}", None
    if name and known is not None and not formula and not known(name.lower()):
        name = next((f"{name} {word}" for word in ("solution", "reagent") if known(f"{name} {word}".lower())), name)
    if len(parts) > 1 and parts[-1].lower() in _ROLES and known is not None and not known(name.lower()):
        shorter = " ".join(parts[:-1])
        name = shorter if known(shorter.lower()) else name
    if parts and parts[-1].lower() in words.ACID_ADJECTIVES:
        name += " acid"
    if not chemical:
        chemical = bool(formula or cas or water) or (bool(name) and _is_chemical(name, known))
    return Reading(run, Named(name, formula, water, cas, as_typed=typed), chemical, tuple(notes))


def _word_with_water(token: Piece, parts: list[str], water: str | None) -> tuple[list[str], str | None]:
    """ "sulfate 7H2O": a word and its water, matched together as a formula that is none."""
    tail = _WATER_AFTER_WORD.fullmatch(str(token))
    found = hydrate_water(tail[2]) if tail else None
    if tail is not None and (tail[1].lower() in words.PHRASES or _LOTS.fullmatch(tail[1])):
        raise _at(token, "not-a-request")
    if tail is None or found is None:
        return [*parts, str(token)], water
    return [*parts, tail[1]], _one_water(water, found, token)


def _is_chemical(name: str, known: Known) -> bool:
    return (known is not None and bool(known(name.lower()))) or words.CHEMICAL_WORD.search(name) is not None


def _one_water(before: str | None, now: str, token: Piece) -> str:
    if before is not None and before != now:
        raise _at(token, "hydrate-conflict")
    return now


def _vague(token: Piece) -> bool:
    """ "hydrated" says that there is water, not how much: any stated number of it agrees."""
    return token.lower() == "hydrated"


def _at(token: Piece, code: str) -> ReadingError:
    return ReadingError(code, token.start_pos, token.end_pos, str(token))


def same(one: Named, other: Named) -> bool:
    """Whether two names are typed alike (case aside)."""
    return (one.name.lower(), one.formula, one.water, one.cas) == (
        other.name.lower(),
        other.formula,
        other.water,
        other.cas,
    )


def merge(readings: list[Reading], amounts: Sequence[int] = ()) -> tuple[list[Reading], list[Reading]]:
    """Join what belongs to one substance ("zinc sulfate", "ZnSO4.7H2O"); returns (substances, words left over).

    ``amounts``: where strengths and masses stand. Two of them or more keep the names they stand between apart.
    """
    substances: list[Reading] = []
    left: list[Reading] = []
    hydrates: list[Reading] = []
    for reading in readings:
        named = reading.named
        if named.water is not None and not (named.name or named.formula or named.cas):
            hydrates.append(reading)
        elif reading.chemical:
            substances.append(reading)
        else:
            left.append(reading)
    if not substances and left:
        substances.append(left.pop(0))
    for reading in hydrates:
        if all(_vague(t) for t in reading.run.tokens) and any(r.named.water for r in substances):
            continue
        if substances:
            substances[0] = join(substances[0], reading)
        else:
            substances.append(reading)
    joined: list[Reading] = []
    for reading in substances:
        last = joined[-1] if joined else None
        if (
            last is not None
            and (reading.run.joined_by not in ("AND", "WITH", "TO", "IN", "OR") or _said_before(last, reading))
            and _complements(last.named, reading.named)
            and (
                _within(last.named, reading.named)
                or not (len(amounts) > 1 and any(last.run.end <= a < reading.run.start for a in amounts))
            )
        ):
            joined[-1] = join(last, reading)
        else:
            joined.append(reading)
    return joined, left


def _within(one: Named, other: Named) -> bool:
    """Whether all that ``other`` says is said by ``one`` ("sodium hydroxide, NaOH, 1 N: 40 g NaOH")."""
    if same(one, other):
        return True
    return (
        other.name.lower() in ("", one.name.lower())
        and other.formula in (None, one.formula)
        and other.water in (None, one.water)
        and other.cas in (None, one.cas)
    )


def _said_before(last: Reading, reading: Reading) -> bool:
    """ "acetic acid (CH3COOH), 99.7 %, ... and ... acetic acid": an "and" between other words joins no second substance."""
    return reading.run.joined_by == "AND" and bool(last.named.name and reading.named.name) and _within(last.named, reading.named)


def _complements(one: Named, other: Named) -> bool:
    if _within(one, other):
        return True
    if one.name and other.name:
        return False
    if one.formula and other.formula and one.formula != other.formula:
        return False
    return not (one.cas and other.cas)


def join(one: Reading, other: Reading) -> Reading:
    """Two readings of one substance as one. Raises where their waters of crystallisation differ."""
    first, second = one.named, other.named
    if first.water == "x" and second.water and any(_vague(t) for t in one.run.tokens):
        first = replace(first, water=second.water)
    if second.water == "x" and first.water and any(_vague(t) for t in other.run.tokens):
        second = replace(second, water=first.water)
    if first.water and second.water and first.water != second.water:
        raise _at(other.run.tokens[0], "hydrate-conflict")
    named = replace(
        first,
        name=first.name or second.name,
        formula=first.formula or second.formula,
        water=first.water or second.water,
        cas=first.cas or second.cas,
        as_typed=first.as_typed if same(first, second) else f"{first.as_typed} {second.as_typed}",
    )
    return Reading(one.run, named, one.chemical or other.chemical, one.notes + other.notes)
