"""The substance tables as documents, and the search over every name they hold."""

from functools import cache
from typing import Any

from rules.tables.load import rows
from rules.tables.names import key_of
from rules.tables.substances import Form, Substance, all_substances, by_cas, by_formula, by_name, substance, suggest
from service.reference.citations import citation

MOST = 50


def search(words: str) -> tuple[list[dict[str, Any]], tuple[str, ...]]:
    """Up to 50 substances for a name, part of a name, formula or CAS number, best first, and near spellings if none.

    Empty words list the whole table in order, without that limit.
    """
    wanted = words.strip()
    if not wanted:
        return [_line(s) for s in all_substances()], ()
    exact = [match.substance for match in (*by_name(wanted), *by_cas(wanted), *by_formula(wanted))]
    key = key_of(wanted)
    held = [(held_key, found) for held_key, found in _keys() if key and key in held_key]
    begins = [found for held_key, found in held if held_key.startswith(key)]
    unique = {found.slug: found for found in (*exact, *begins, *(found for _, found in held))}
    if not unique:
        return [], suggest(wanted)
    return [_line(s) for s in list(unique.values())[:MOST]], ()


def one(slug: str) -> dict[str, Any] | None:
    """One substance in full, or None."""
    try:
        found = substance(slug)
    except KeyError:
        return None
    return {
        **_head(found),
        **({"molar_mass": found.molar_mass} if found.molar_mass is not None else {}),
        "names": sorted(_names().get(slug, ())),
        "forms": [_form(f) for f in found.forms],
        "citation": citation(found.cite),
    }


def _head(found: Substance) -> dict[str, Any]:
    head = {"slug": found.slug, "name": found.name, "formula": found.formula, "family": found.family}
    return {key: value for key, value in head.items() if value}


def _line(found: Substance) -> dict[str, Any]:
    return {**_head(found), "forms": [f.label for f in found.forms]}


def _form(form: Form) -> dict[str, Any]:
    shown: dict[str, Any] = {"label": form.label, "water": form.water, "sold": form.sold}
    shown.update((k, v) for k, v in (("formula", form.formula), ("cas", form.cas), ("state", form.state)) if v)
    if form.molar_mass is not None:
        shown["molar_mass"] = form.molar_mass
    return {**shown, "citation": citation(form.cite)}


@cache
def _names() -> dict[str, set[str]]:
    names: dict[str, set[str]] = {}
    for row in rows("names", filled=("name", "substance", "kind")):
        if row["kind"] != "misspelling":
            names.setdefault(row["substance"], set()).add(row["name"])
    return names


@cache
def _keys() -> list[tuple[str, Substance]]:
    """Every name's comparison key with its substance, table order."""
    names = _names()
    return [
        (key_of(name), found) for found in all_substances() for name in (found.name, *sorted(names.get(found.slug, ())))
    ]
