"""Concentrated reagents as bought: strength and density when the bottle is not to hand."""

from dataclasses import dataclass
from functools import lru_cache

from rules.tables.density import Density, solution_density
from rules.tables.load import Cite, TableError, cite, number, rows


@dataclass(frozen=True, slots=True)
class Reagent:
    """One commercial strength: percent by mass with assay limits, density g/mL. ``usual``: meant by "conc."."""

    slug: str
    grade: str
    mass_percent: float
    low: float | None
    high: float | None
    density_g_per_mL: float
    temperature_degC: float | None
    usual: bool
    cite: Cite


@lru_cache(maxsize=1)
def _by_slug() -> dict[str, tuple[Reagent, ...]]:
    found: dict[str, list[Reagent]] = {}
    for r in rows("concentrated", key=("substance", "grade"), filled=("mass_percent", "density_g_per_mL", "usual"),
                  numeric={"mass_percent": (0.1, 100), "mass_percent_low": (0.1, 100), "mass_percent_high": (0.1, 100),
                           "density_g_per_mL": (0.6, 4), "temperature_degC": (0, 40)},
                  choices={"usual": frozenset({"yes", "no"})}):
        found.setdefault(r["substance"], []).append(
            Reagent(r["substance"], r["grade"], float(r["mass_percent"]), number(r["mass_percent_low"]),
                    number(r["mass_percent_high"]), float(r["density_g_per_mL"]), number(r["temperature_degC"]),
                    r["usual"] == "yes", cite(r["source_id"], r["locator"])))
    for slug, grades in found.items():
        if sum(grade.usual for grade in grades) > 1:
            raise TableError("concentrated.csv", 0, "usual", f"{slug} has two usual strengths", "Leave one 'yes'.")
    return {slug: tuple(grades) for slug, grades in found.items()}


def reagents(slug: str) -> tuple[Reagent, ...]:
    """Every tabulated strength of that reagent, the usual one first."""
    return tuple(sorted(_by_slug().get(slug, ()), key=lambda r: not r.usual))


def usual(slug: str) -> Reagent | None:
    """The strength a bottle marked "concentrated" overwhelmingly holds, or None when it must be asked."""
    return next((r for r in _by_slug().get(slug, ()) if r.usual), None)


@lru_cache(maxsize=1024)
def density_for(slug: str, mass_percent: float) -> Density | None:
    """Density of that strength at 20 degC: of the tabulated bottle, else by the fitted equation, else None."""
    for reagent in reagents(slug):
        if abs(reagent.mass_percent - mass_percent) < 1e-9:
            return Density(reagent.density_g_per_mL, reagent.cite)
    return solution_density(slug, mass_percent / 100.0)
