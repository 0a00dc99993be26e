"""Which standard a solution is titrated against: the row of the table, the form weighed, the solution used."""

import re
from dataclasses import dataclass
from typing import Any

from grammar.hydrates import HYDRATE_WORD_PATTERN, hydrate_water
from grammar.request import Named
from rules.tables.standards import Standardisation, standardisations
from rules.tables.substances import Form, Substance, substance
from service.planner.matching import form_name, forms_of, matches
from service.plans.ids import read_id
from service.problems import FieldError, Problem
from service.records.bodies import wrong
from service.records.used import SourceValue

_HYDRATE = re.compile(HYDRATE_WORD_PATTERN)


@dataclass(frozen=True, slots=True)
class Standard:
    """The standard in hand. ``mol_L`` and ``u_rel`` are set where it is a solution, ``source`` where it was made here."""

    row: Standardisation
    substance: Substance
    form: Form
    mol_L: float | None = None
    u_rel: float = 0.0
    source: SourceValue | None = None

    @property
    def name(self) -> str:
        """Its full name, with the form where it is weighed."""
        return self.substance.name if self.mol_L is not None else form_name(self.substance, self.form)


def find_standard(slug: str, body: dict[str, Any], sources: dict[str, SourceValue]) -> Standard:
    """The standard the body names for a solution of the substance ``slug``.

    Raises Problem when none is held for it, or naming the field that does not settle it.
    """
    rows = standardisations(slug)
    if not rows:
        raise Problem("cannot-be-standardised", "No published standardisation of this solution is in the tables.")
    kept = [row for row in rows if any(k.slug == row.primary_standard for k, _ in named(body["against"]))]
    if not kept:
        allowed = dict.fromkeys(substance(row.primary_standard).name for row in rows)
        raise wrong([FieldError("/against", "is no standard held for this solution", tuple(allowed))])
    if len(kept) > 1:
        kept = [row for row in kept if row.indicator.lower() == body.get("indicator", "").strip().lower()] or kept
    if len(kept) > 1:
        raise wrong([FieldError("/indicator", "must say which end point was taken", tuple(r.indicator for r in kept))])
    row = kept[0]
    fitting = [(kind, form) for kind, form in named(body["against"]) if kind.slug == row.primary_standard]
    if "standard_solution" in body:
        return _solution(row, fitting[0], body["standard_solution"], sources)
    if len(fitting) > 1:
        forms = tuple(form_name(kind, form) for kind, form in fitting)
        raise wrong([FieldError("/against", "is sold in several forms; say which was weighed", forms)])
    kind, form = fitting[0]
    if form.state == "solution" or not form.molar_mass:
        raise wrong(
            [FieldError("/standard_solution", f"must give the strength of the {kind.name}: it is no solid to weigh")]
        )
    return Standard(row, kind, form)


def named(words: str) -> list[tuple[Substance, Form]]:
    """The substances and forms the words may mean: "oxalic acid dihydrate" is one, "oxalic acid" two."""
    found = forms_of(matches(Named(name=words)), None)
    hydrate = _HYDRATE.search(words)
    if hydrate is not None:
        name = " ".join((words[: hydrate.start()] + " " + words[hydrate.end() :]).split())
        found += [pair for pair in forms_of(matches(Named(name=name)), hydrate_water(hydrate[0])) if pair not in found]
    return found


def _solution(
    row: Standardisation, pair: tuple[Substance, Form], given: dict[str, Any], sources: dict[str, SourceValue]
) -> Standard:
    kind, form = pair
    if ("preparation" in given) == ("mol_L" in given):
        raise wrong([FieldError("/standard_solution", "must hold either preparation or mol_L")])
    if "mol_L" in given:
        strength = float(given["mol_L"])
        if "U_mol_L" not in given:
            raise wrong(
                [FieldError("/standard_solution/U_mol_L", "must be there: how well the strength is known, k = 2")]
            )
        return Standard(row, kind, form, strength, float(given["U_mol_L"]) / 2 / strength)
    source = sources.get(read_id(given["preparation"]) or "")
    if source is None or source.unit != "mol/L":
        raise wrong([FieldError("/standard_solution/preparation", "is no preparation with a strength in mol/L")])
    if source.substance != kind.name:
        raise wrong([FieldError("/standard_solution/preparation", f"is {source.name}, not {kind.name}")])
    return Standard(row, kind, form, source.value, source.u_rel, source)
