"""Which substances and forms a name, formula or CAS number may mean, and how a form is called."""

from collections.abc import Iterable

from grammar.request import Named
from rules.tables.substances import Form, Match, Substance, by_cas, by_formula, by_name


def matches(named: Named) -> tuple[Match, ...]:
    """Every substance the name, formula or CAS number may mean; contradictory parts give an empty tuple."""
    found: list[tuple[Match, ...]] = []
    if named.cas:
        found.append(by_cas(named.cas))
    if named.formula:
        found.append(by_formula(named.formula))
    if named.name:
        found.append(by_name(named.name) or _without_use(named.name))
    if not found:
        return ()
    common = set.intersection(*({m.substance.slug for m in group} for group in found))
    best = min((g for g in found if g), key=len, default=())
    labelled = [m for group in found for m in group if m.label and m.substance.slug in common]
    kept = tuple(m for m in best if m.substance.slug in common)
    return tuple(labelled) or kept


def _without_use(name: str) -> tuple[Match, ...]:
    """ "methyl orange indicator" weighed out is methyl orange, and "Tris base buffer" Tris base; "sodium phosphate buffer" is
    no one substance."""
    first, _, last = name.rpartition(" ")
    if last.lower() not in ("indicator", "stain", "buffer"):
        return ()
    found = by_name(first)
    return found if last.lower() != "buffer" or len({m.substance.slug for m in found}) == 1 else ()


def forms_of(found: Iterable[Match], water: str | None) -> list[tuple[Substance, Form]]:
    """The (substance, form) pairs the matches allow: by label, by stated water, else the forms that are sold."""
    pairs: list[tuple[Substance, Form]] = []
    for match in found:
        kind = match.substance
        chosen: tuple[Form | None, ...]
        if water is not None:
            form = kind.with_water(water)
            if form is None and water == "0" and len(kind.forms) == 1 and kind.forms[0].water == "0":
                form = kind.forms[0]
            chosen = (form,) if form else ()
        elif match.label:
            chosen = (kind.form(match.label),)
        else:
            chosen = kind.sold_forms or kind.forms
        pairs.extend((kind, f) for f in chosen if f is not None and (kind, f) not in pairs)
    return pairs


def form_word(form: Form) -> str:
    """How a form is called in a sentence: "anhydrous", "pentahydrate", or the state for a single form."""
    return form.label if form.label not in ("pure", "solution") else form.state


def form_name(kind: Substance, form: Form) -> str:
    """Full name on a label: "copper(II) sulfate pentahydrate", "anhydrous sodium carbonate"."""
    if form.label in ("pure", "solution"):
        return kind.name
    if form.label == "anhydrous":
        return f"anhydrous {kind.name}"
    return f"{kind.name} {form.label}" if form.label != "variable" else f"{kind.name} hydrate (variable water)"
