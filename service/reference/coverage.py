"""What is known of each substance, and what is not: a hole is shown as ``unchecked``, never left out."""

from collections import Counter
from dataclasses import dataclass, fields

from rules.tables.assay import assay
from rules.tables.behaviour import behaviours
from rules.tables.concentrated import density_for
from rules.tables.density import solution_density
from rules.tables.exposure import exposure_limit
from rules.tables.groups import groups_of
from rules.tables.handling import storage, waste
from rules.tables.hazards import hazard_entry
from rules.tables.heats import heat_of_solution
from rules.tables.liquids import liquid_density
from rules.tables.load import source
from rules.tables.solids import solid_density
from rules.tables.solubility import Miscible, Solubility, ksp, solubility
from rules.tables.substances import Substance, all_substances

HOLE = "unchecked"
_TEMPERATURES = tuple(range(0, 101, 5))
_STRENGTHS_PCT = (*range(100, 0, -1), 0.5, 0.1)
UNCLASSED = "none in the text read"
_STATUS = {
    "harmonised": "harmonised",
    "group": "group entry",
    "published": "published classes",
    "supplier": "classes from memory",
    "unclassed": UNCLASSED,
}


@dataclass(frozen=True, slots=True)
class Coverage:
    """One substance: what each kind of check can rest on, ``HOLE`` where it has nothing."""

    forms: str
    hazard: str
    air: str
    solubility: str
    density: str
    solid: str
    heat: str
    assay: str
    behaviour: str
    reactions: str
    storage: str
    waste: str


def coverage(kind: Substance) -> Coverage:
    """What is held on that substance."""
    slug, labels = kind.slug, [form.label for form in kind.forms]
    return Coverage(
        forms=str(len(labels)),
        hazard=_hazard(slug, labels),
        air="held" if exposure_limit(slug) else HOLE,
        solubility=_solubility(slug),
        density=_density(slug),
        solid="held" if any(solid_density(slug, label) for label in labels) else HOLE,
        heat="held" if any(heat_of_solution(slug, label) for label in labels) else HOLE,
        assay="held" if any(assay(slug, label) for label in labels) else HOLE,
        behaviour=str(len({trait for label in labels for trait in behaviours(slug, label)}) or HOLE),
        reactions=str(len(groups_of(slug)) or HOLE),
        storage="held" if storage(slug, None) else HOLE,
        waste="general" if waste(slug) == waste("") else "held",
    )


def totals() -> dict[str, int]:
    """How many substances are covered in each column."""
    each = [coverage(kind) for kind in all_substances()]
    return {field.name: sum(getattr(one, field.name) not in (HOLE, UNCLASSED, "general") for one in each) for field in fields(Coverage)}


def _hazard(slug: str, labels: list[str]) -> str:
    found = {entry.status: entry for label in labels if (entry := hazard_entry(slug, label)) is not None}
    for status, words in _STATUS.items():
        if status in found:
            recalled = status in ("harmonised", "group") and source(found[status].cite.source_id).kind == "memory"
            return f"{words}, from memory" if recalled else words
    return HOLE


def hazard_basis() -> dict[str, int]:
    """How many substances rest on each kind of hazard data, the most first."""
    return dict(Counter(coverage(kind).hazard for kind in all_substances()).most_common())


def _solubility(slug: str) -> str:
    held = [(t, found) for t in _TEMPERATURES if (found := solubility(slug, float(t))) is not None]
    if held and isinstance(held[0][1], Miscible):
        return "miscible"
    curve = [(t, found) for t, found in held if isinstance(found, Solubility)]
    if curve:
        kinds = {found.kind for _, found in curve}
        doubt = " (from memory)" if kinds == {"unverified"} else " (disputed)" if "disputed" in kinds else ""
        return f"{curve[0][0]} to {curve[-1][0]} degC{doubt}" if len(curve) > 1 else f"{curve[0][0]} degC{doubt}"
    return "Ksp" if ksp(slug) else HOLE


def _density(slug: str) -> str:
    for t in (20.0, 25.0, 40.0):
        strongest = next((w for w in _STRENGTHS_PCT if solution_density(slug, w / 100, t) is not None), None)
        if strongest:
            return f"to {strongest:g} % w/w" + ("" if t == 20.0 else f" (at {t:g} degC)")
    if density_for(slug, 100.0) or liquid_density(slug):
        return "pure liquid"
    return HOLE
