"""The substance tables as documents, and the search over every name they hold."""

from functools import cache
from typing import Any

from rules.tables.load import rows
from rules.tables.names import key_of
from rules.tables.solubility import Miscible, Solubility, curve, solubility
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
        **_dissolving(slug),
        "citation": citation(found.cite),
    }


def _dissolving(slug: str) -> dict[str, Any]:
    """The tabulated solubilities in water, coldest first, or that the liquid mixes in all proportions; {} when not held."""
    held = solubility(slug, 20.0)
    if isinstance(held, Miscible):
        return {"miscible": {"note": held.note, "citation": citation(held.cite)}}
    return {"solubility": [_saturated(point) for point in curve(slug)]} if curve(slug) else {}


def _saturated(point: Solubility) -> dict[str, Any]:
    """One point, per 100 g of water and as the share by mass of the saturated solution, both without crystal water."""
    per_100_g = point.g_anhydrous_per_100g_water
    share = 100 * per_100_g / (100 + per_100_g)
    degrees = point.temperature_degC
    return {
        "temperature": {"value": degrees, "unit": "degC", "display": f"{degrees:g} degC"},
        "per_100g_water": {"value": per_100_g, "unit": "g", "display": f"{per_100_g:.4g} g"},
        "mass_fraction": {"value": share, "unit": "%", "display": f"{share:.3g} % w/w"},
        "solid_phase": point.solid_phase,
        "kind": point.kind,
        "citations": [citation(cite) for cite in point.cites],
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
