"""The two substances a buffer is said to be made from ("from acetic acid and sodium acetate trihydrate")."""

import re

from grammar.formula import read_formula
from grammar.hydrates import HYDRATE_WORD_PATTERN, hydrate_water
from grammar.request import Component, Misread, Named
from rules.tables.pka import System
from service.planner.matching import matches

_HYDRATE = re.compile(HYDRATE_WORD_PATTERN)


def parts(named: Named) -> list[Named]:
    """Both substances where two are named in one source, else the one."""
    if matches(named) or " and " not in named.name:
        return [named]
    found = []
    for words in named.name.split(" and "):
        formula = read_formula(words)
        if formula is not None:
            found.append(Named(formula=formula.text, water=formula.water, as_typed=words))
            continue
        water = _HYDRATE.search(words)
        name = _HYDRATE.sub("", words).strip()
        found.append(Named(name=name, water=hydrate_water(water[0]) if water else None, as_typed=words))
    return found


def foreign_part(component: Component, system: System) -> Misread | None:
    """The misreading where one of two substances a buffer is said to be made from is none of its system."""
    source = component.source
    named = parts(source.named) if source is not None and source.named is not None else []
    held = {salt.substance for salt in system.salts}
    strange = next((p for p in named if len(named) > 1 and not held & {m.substance.slug for m in matches(p)}), None)
    if strange is None:
        return None
    return Misread(
        "source-is-another-substance",
        f"'{strange.as_typed}' is no part of the {component.solute.name}.",
        "Name the two substances the buffer is made from, or leave them out.",
    )
