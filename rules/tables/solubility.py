"""How much dissolves in water, by temperature and solid phase, and solubility products.

Solubility is always grams of the substance without water of crystallisation per 100 g of water.
"""

from bisect import bisect_left
from dataclasses import dataclass
from functools import lru_cache

from rules.tables.load import Cite, TableError, cite, rows
from rules.tables.substances import substance

# From the best supported to the least: two sources agree; a handbook; one source; sources differ; memory.
KINDS = ("evaluated", "handbook", "single-source", "disputed", "unverified")
REACH_K = 2.0


@dataclass(frozen=True, slots=True)
class Solubility:
    """Solubility at one temperature; ``kind``: support (``KINDS``), the weaker of the rows it lies between."""

    g_anhydrous_per_100g_water: float
    temperature_degC: float
    solid_phase: str
    kind: str
    cites: tuple[Cite, ...]


@dataclass(frozen=True, slots=True)
class Miscible:
    """The liquid mixes with water in all proportions."""

    note: str
    cite: Cite


@dataclass(frozen=True, slots=True)
class SolubilityProduct:
    """Ksp of a solid at ``temperature_degC``; ``kind`` as in the table (evaluated, disputed, textbook-only ...)."""

    solid: str
    pKsp: float
    temperature_degC: float
    kind: str
    cite: Cite


@lru_cache(maxsize=1)
def _curves() -> dict[str, tuple[Solubility, ...]]:
    curves: dict[str, list[Solubility]] = {}
    for r in rows("solubility", key=("substance", "temperature_degC"),
                  filled=("value", "unit", "basis", "kind", "temperature_degC"),
                  numeric={"temperature_degC": (-5, 120), "value": (0, 5000)},
                  choices={"unit": frozenset({"g_per_100g_water"}), "kind": frozenset(KINDS)}):
        value = _anhydrous(r["substance"], r["basis"], float(r["value"]))
        point = Solubility(value, float(r["temperature_degC"]), r["solid_phase"], r["kind"],
                           (cite(r["source_id"], r["locator"]),))
        curves.setdefault(r["substance"], []).append(point)
    return {slug: tuple(sorted(points, key=lambda p: p.temperature_degC)) for slug, points in curves.items()}


def _anhydrous(slug: str, basis: str, value: float) -> float:
    """Grams without water per 100 g water, from grams of the form ``basis`` (a label, or anhydrous, or pure)."""
    if basis in ("anhydrous", "pure"):
        return value
    dissolved = substance(slug)
    form = dissolved.form(basis)
    if form is None or form.molar_mass is None or dissolved.molar_mass is None:
        raise TableError("solubility.csv", 0, "basis", f"{slug} has no form '{basis}' of known molar mass",
                         "Correct the basis or add the form.")
    share = dissolved.molar_mass / form.molar_mass
    # The water of the crystals joins the solvent.
    return 100.0 * value * share / (100.0 + value * (1.0 - share))


@lru_cache(maxsize=1)
def _miscible() -> dict[str, Miscible]:
    return {r["substance"]: Miscible(r["note"], cite(r["source_id"], r["locator"]))
            for r in rows("miscible", key=("substance",))}


def curve(slug: str) -> tuple[Solubility, ...]:
    """Every tabulated point of a substance, coldest first; empty when none is held or the liquid mixes in all proportions."""
    return () if slug in _miscible() else _curves().get(slug, ())


@lru_cache(maxsize=2048)
def solubility(slug: str, temperature_degC: float) -> Solubility | Miscible | None:
    """How much dissolves at that temperature, straight between the tabulated temperatures; None when not known.

    Up to 2 K outside the tabulated range the end value is taken; further out nothing is said.
    """
    if slug in _miscible():
        return _miscible()[slug]
    curve = _curves().get(slug, ())
    if not curve:
        return None
    at = bisect_left(curve, temperature_degC, key=lambda p: p.temperature_degC)
    if at < len(curve) and curve[at].temperature_degC == temperature_degC:
        return curve[at]
    if at in (0, len(curve)):
        end = curve[0] if at == 0 else curve[-1]
        return end if abs(end.temperature_degC - temperature_degC) <= REACH_K else None
    low, high = curve[at - 1], curve[at]
    share = (temperature_degC - low.temperature_degC) / (high.temperature_degC - low.temperature_degC)
    value = low.g_anhydrous_per_100g_water + share * (high.g_anhydrous_per_100g_water - low.g_anhydrous_per_100g_water)
    near = low if share < 0.5 else high
    return Solubility(value, temperature_degC, near.solid_phase, max(low.kind, high.kind, key=KINDS.index),
                      tuple(dict.fromkeys(low.cites + high.cites)))


@lru_cache(maxsize=1)
def _products() -> dict[str, SolubilityProduct]:
    found: dict[str, SolubilityProduct] = {}
    for r in rows("ksp", key=("solid", "substance", "temperature_degC"), filled=("solid", "pKsp", "kind"),
                  numeric={"pKsp": (-5, 120), "temperature_degC": (0, 100)}):
        product = SolubilityProduct(r["solid"], float(r["pKsp"]), float(r["temperature_degC"]), r["kind"],
                                    cite(r["source_id"], r["locator"]))
        found[r["solid"]] = product
        if r["substance"]:
            found[r["substance"]] = product
    return found


def ksp(solid: str) -> SolubilityProduct | None:
    """The solubility product of a solid, by formula ("AgCl") or slug; None when not tabulated."""
    return _products().get(solid)
