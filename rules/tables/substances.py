"""The substances the prep room knows, the forms each is sold in, and every way of naming them.

A name that fits several substances, or a substance that comes in several forms, gives several answers: the choice is
never made here. Molar masses are computed from the formulas, not stored.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import NamedTuple

from grammar.formula import composition
from rules.tables.load import Cite, TableError, cite, rows
from rules.tables.masses import molar_mass, split_water
from rules.tables.names import key_of, keys_to_try
from rules.tables.snapshot import stored

STATES = frozenset({"solid", "liquid", "gas", "solution"})
FAMILIES = frozenset({"salt", "acid", "base", "oxide", "element", "organic", "buffer", "sugar", "solvent", "indicator",
                      "surfactant", "gas", "polymer", "mixture"})
NAME_KINDS = frozenset({"systematic", "us", "uk", "old", "trade", "abbreviation", "formula", "misspelling"})
_YES_NO = frozenset({"yes", "no"})
# Two-letter words that are also formulas (HI, NO, IN ...) are read as words unless written as formulas.
_ENGLISH = frozenset({"hi", "no", "in", "as", "i", "he", "be", "at", "co"})
_SYMBOLS = re.compile("[A-Z][a-z]?")


@dataclass(frozen=True, slots=True)
class Form:
    """One form of a substance as sold. ``water`` per formula unit ("0", "0.5", "5", "x"); molar mass g/mol with water.

    ``molar_mass`` is None for variable water and for mixtures. ``sold``: in ordinary trade; ``unstated``: what a bare
    name overwhelmingly means although another form is sold.
    """

    key: str
    substance: str
    label: str
    water: str
    formula: str
    cas: str
    state: str
    sold: bool
    unstated: bool
    molar_mass: float | None
    u_molar_mass: float | None
    cite: Cite


@dataclass(frozen=True, slots=True)
class Substance:
    """One compound with all its forms. ``formula`` and ``molar_mass`` (g/mol) are without water of crystallisation."""

    slug: str
    name: str
    formula: str
    family: str
    forms: tuple[Form, ...]
    molar_mass: float | None
    u_molar_mass: float | None
    cite: Cite

    def form(self, label: str) -> Form | None:
        """The form with that label ("pentahydrate"), or None."""
        return next((form for form in self.forms if form.label == label), None)

    def with_water(self, water: str) -> Form | None:
        """The form with that water per formula unit ("5", "0", "0.5", "x"), or None."""
        wanted = _water(water)
        return next((form for form in self.forms if form.water == wanted), None)

    @property
    def sold_forms(self) -> tuple[Form, ...]:
        """The forms in ordinary trade; more than one makes a bare name ambiguous."""
        return tuple(form for form in self.forms if form.sold)


@dataclass(frozen=True, slots=True)
class Match:
    """One reading of a name. ``label`` is set when the spelling itself fixes the form; ``kind`` is the sort of name."""

    substance: Substance
    label: str | None
    spelling: str
    kind: str


def _water(text: str) -> str:
    try:
        return f"{float(text):g}"
    except ValueError:
        return text


def _mass(formula: str) -> tuple[float, float] | tuple[None, None]:
    return molar_mass(formula) if formula else (None, None)


_Cited = tuple[str, str]
_PlainForm = tuple[str, str, str, str, str, str, str, bool, bool, float | None, float | None, _Cited]
_Plain = tuple[str, str, str, str, tuple[_PlainForm, ...], float | None, float | None, _Cited]


@lru_cache(maxsize=1)
@stored
def _plain() -> dict[str, _Plain]:
    """Every substance by slug, checked, with its molar masses worked out, as plain values in the order of the fields."""
    forms: dict[str, list[_PlainForm]] = {}
    for r in rows("forms", key=("form",), filled=("substance", "label", "water", "sold"),
                  choices={"state": STATES, "sold": _YES_NO, "unstated": _YES_NO}):
        mass, u_mass = (None, None) if r["water"] == "x" else _mass(r["formula"])
        form = (r["form"], r["substance"], r["label"], _water(r["water"]), r["formula"], r["cas"], r["state"],
                r["sold"] == "yes", r["unstated"] == "yes", mass, u_mass, (r["source_id"], r["locator"]))
        forms.setdefault(r["substance"], []).append(form)
    found: dict[str, _Plain] = {}
    for r in rows("substances", key=("substance",), filled=("name",), choices={"family": FAMILIES}):
        slug = r["substance"]
        if slug not in forms:
            raise TableError("substances.csv", 0, "substance", f"{slug} has no form", "Give it a row in forms.csv.")
        mass, u_mass = _mass(r["formula"])
        # Sold forms first, variable water last.
        ordered = tuple(sorted(forms.pop(slug), key=lambda form: (not form[7], form[2] == "variable")))
        found[slug] = (slug, r["name"], r["formula"], r["family"], ordered, mass, u_mass, (r["source_id"], r["locator"]))
    for slug in forms:
        raise TableError("forms.csv", 0, "substance", f"{slug} is not a substance", "Add it to substances.csv.")
    return found


_Row = tuple[str, str, str, str]  # slug, label or "", spelling, kind


class _Index(NamedTuple):
    """Keys to rows: by name, by formula exactly as written, by CAS number; and spellings with the names to suggest."""

    names: dict[str, list[_Row]]
    written: dict[str, list[_Row]]
    cas: dict[str, list[_Row]]
    spellings: dict[str, str]


@lru_cache(maxsize=1)
def _index() -> _Index:
    return _Index(*_plain_index())


@stored
def _plain_index() -> tuple[dict[str, list[_Row]], dict[str, list[_Row]], dict[str, list[_Row]], dict[str, str]]:
    known = {held.slug: held for held in all_substances()}
    index = _Index({}, {}, {}, {})
    for held in known.values():
        index.names.setdefault(key_of(held.name), []).append((held.slug, "", held.name, "systematic"))
        index.spellings[held.name.lower()] = held.name
        if held.formula:
            index.written.setdefault(held.formula, []).append((held.slug, _only_label(held), held.formula, "formula"))
        for form in held.forms:
            if form.cas:
                label = form.label if len(held.forms) > 1 else ""
                index.cas.setdefault(form.cas, []).append((held.slug, label, form.cas, "cas"))
    labels = {(slug, form.label) for slug, held in known.items() for form in held.forms}
    for r in rows("names", filled=("name", "substance", "kind"), choices={"kind": NAME_KINDS}):
        spelling, slug, label, kind = r["name"], r["substance"], r["label"], r["kind"]
        if slug not in known:
            raise TableError("names.csv", 0, "substance", f"{spelling} names the unknown substance {slug}",
                             "Add the substance or correct the slug.")
        if label and (slug, label) not in labels:
            raise TableError("names.csv", 0, "label", f"{spelling} names the unknown form {slug}/{label}",
                             "Add the form or correct the label.")
        if kind == "formula":
            index.written.setdefault(spelling, []).append((slug, label, spelling, kind))
        else:
            index.spellings.setdefault(spelling.lower(), known[slug].name)
        index.names.setdefault(key_of(spelling), []).append((slug, label, spelling, kind))
    return index.names, index.written, index.cas, index.spellings


def _only_label(held: Substance) -> str:
    only = held.forms[0]
    return only.label if len(held.forms) == 1 and only.water == "0" else ""


def _matches(found: Iterable[_Row]) -> tuple[Match, ...]:
    """One match per substance and form, in table order."""
    first = {(slug, label): (spelling, kind) for slug, label, spelling, kind in reversed(list(found))}
    return tuple(Match(substance(slug), label or None, *said) for (slug, label), said in reversed(first.items()))


@cache
def substance(slug: str) -> Substance:
    """The substance with that slug. Raises ``KeyError``."""
    key, name, formula, family, forms, mass, u_mass, cited = _plain()[slug]
    made = tuple(Form(*form[:-1], cite(*form[-1])) for form in forms)
    return Substance(key, name, formula, family, made, mass, u_mass, cite(*cited))


def all_substances() -> tuple[Substance, ...]:
    """Every substance, in table order."""
    return tuple(map(substance, _plain()))


@lru_cache(maxsize=4096)
def by_name(words: str) -> tuple[Match, ...]:
    """Every substance those words may mean; empty when none does. Hydrate words must already be taken off.

    A formula typed in small letters ("naoh") is found here when no name fits.
    """
    index = _index()
    for key in keys_to_try(words):
        if key in index.names:
            return _matches(index.names[key])
    return _matches(_small_letters().get(words.strip().lower(), ()))


@lru_cache(maxsize=1)
def _small_letters() -> dict[str, list[_Row]]:
    small: dict[str, list[_Row]] = {}
    for formula, found in _index().written.items():
        if formula.lower() not in _ENGLISH:
            small.setdefault(formula.lower(), []).extend(found)
    return small


Composition = tuple[frozenset[tuple[str, float]], str]


def _composed(formula: str) -> Composition:
    dry, water = split_water(formula)
    return frozenset(composition(dry).items()), water


@lru_cache(maxsize=1)
@stored
def _by_composition() -> dict[Composition, list[_Row]]:
    index: dict[Composition, list[_Row]] = {}
    for held in all_substances():
        for form in held.forms:
            if form.formula and form.water not in ("0", "x"):
                index.setdefault(_composed(form.formula), []).append((held.slug, form.label, form.formula, "formula"))
        if held.formula:
            row = (held.slug, _only_label(held), held.formula, "formula")
            index.setdefault(_composed(held.formula), []).append(row)
    return index


@lru_cache(maxsize=4096)
def by_formula(formula: str) -> tuple[Match, ...]:
    """Every substance with that formula; empty when none or when the text is no formula.

    A structural formula written exactly as in the tables (NH4SCN) or a listed spelling (HOAc) means that substance;
    otherwise all substances of the same composition and water are given, isomers included. A formula without water
    of a substance with several forms has label None.
    """
    exact = _matches(_index().written.get(formula, ()))
    if exact and _is_structural(formula, exact):
        return exact
    try:
        key = _composed(formula)
    except ValueError:
        return exact
    return _matches(_by_composition().get(key, ())) or exact


def _is_structural(formula: str, exact: Iterable[Match]) -> bool:
    """Whether the writing says more than the count of atoms: a listed spelling, or an element written twice."""
    if any(match.substance.formula != formula for match in exact):
        return True
    symbols = _SYMBOLS.findall(formula)
    return "(" in formula or len(set(symbols)) < len(symbols)


def by_cas(cas: str) -> tuple[Match, ...]:
    """The substance (and form, where it has several) with that CAS number; empty when none."""
    return _matches(_index().cas.get(cas.strip(), ()))


def suggest(words: str, limit: int = 3) -> tuple[str, ...]:
    """Up to ``limit`` names spelt nearly like ``words``, nearest first: to show, never to accept."""
    from rapidfuzz import fuzz, process

    spellings = _index().spellings
    near = process.extract(words.lower(), spellings.keys(), scorer=fuzz.ratio, limit=4 * limit, score_cutoff=72)
    return tuple(dict.fromkeys(spellings[spelling] for spelling, _, _ in near))[:limit]
