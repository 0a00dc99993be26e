"""What an entry of the log can be found by: the substances of a reply with their strength and amount, and the hazard
classes of the solution made. Pure functions of the reply."""

from functools import lru_cache
from typing import Any

from rules.tables.substances import by_name
from service.store.tables_audit import Term

SUBSTANCE, CLASS = "substance", "class"
_MOST = 8  # substances of one name: more are no name


def terms_of(document: dict[str, Any]) -> tuple[Term, ...]:
    """The terms of a reply; a reply without a plan is found by the substances it names, without an amount."""
    plan = document.get("plan")
    if plan is None:
        return _named(document.get("request"))
    found = {term.value: term for term in _made(plan, document["request"]["kind"] == "series")}
    for held in plan.get("hazards", {}).get("classes", ()):
        name = f"{held['class']} {held['category']}".strip().lower()
        found.setdefault(name, Term(CLASS, name))
    return tuple(found.values())


def _made(plan: dict[str, Any], series: bool) -> list[Term]:
    product = plan["product"]
    if "components" in product:
        return [
            Term(SUBSTANCE, slug, _molar(component.get("strength", "")), _grams(plan, component["substance"]))
            for component in product["components"]
            for slug in slugs(component["substance"])
        ]
    amount = None if series else _amount(plan)  # the product of a series is its strongest solution alone
    return [Term(SUBSTANCE, slug, _strength(plan), amount) for slug in slugs(product.get("substance", ""))]


def _strength(plan: dict[str, Any]) -> float | None:
    """Of the solution made, mol/L: as planned, else by its density and share by mass."""
    product, solution = plan["product"], plan.get("solution", {})
    made, mass = product.get("concentration"), product.get("molar_mass")
    if made is not None and made["unit"] == "mol/L":
        return float(made["value"])
    if mass is not None and "density" in solution and "mass_fraction" in solution:
        return float(solution["density"]["value"] * 10 * solution["mass_fraction"]["value"] / mass["value"])
    return None


def _amount(plan: dict[str, Any]) -> float | None:
    """Grams of the substance in the solution made, whatever it is made from."""
    product = plan["product"]
    made, volume, mass = product.get("concentration"), product.get("volume"), product.get("molar_mass")
    if made is not None and made["unit"] == "mol/L" and volume is not None and mass is not None:
        return float(made["value"] * volume["value"] / 1000 * mass["value"])
    return _grams(plan, product.get("substance", ""))


def _grams(plan: dict[str, Any], substance: str) -> float | None:
    """Grams that are weighed of a substance; None when none is."""
    weighed = [
        float(m["amount"]["value"])
        for m in plan.get("measure", ())
        if m["amount"]["unit"] == "g" and m["role"] != "solvent" and m["what"].startswith(substance)
    ]
    return sum(weighed) if weighed else None


def _molar(typed: str) -> float | None:
    value, _, unit = typed.partition(" ")
    try:
        return float(value) if unit == "mol/L" else None
    except ValueError:
        return None


def _named(request: Any) -> tuple[Term, ...]:
    if not isinstance(request, dict):
        return ()
    inner = request.get("request", request)
    parts = inner.get("components") or ([inner["component"]] if "component" in inner else [])
    names = [p["solute"] for p in parts if "solute" in p] + list(inner.get("solutes", ()))
    found = {slug: Term(SUBSTANCE, slug) for n in names for slug in slugs(n.get("name") or n.get("formula") or "")}
    return tuple(found.values())


@lru_cache(maxsize=4096)
def slugs(name: str) -> tuple[str, ...]:
    """The substances a name or formula stands for, by their short names; empty when none is known."""
    found = tuple(dict.fromkeys(match.substance.slug for match in by_name(name))) if name else ()
    return found if len(found) <= _MOST else ()
