"""How far the ions two solutes bring lie above the solubility product of the solid they form.

Strengths stand for activities, so only a clear excess decides; solids whose anion takes up protons (carbonates,
phosphates) carry no formula in the table of pairs, because their ions depend on the pH.
"""

from dataclasses import dataclass
from functools import lru_cache

from grammar.formula import composition
from rules.plan import DraftPlan, Ingredient
from rules.tables.groups import Precipitate
from rules.tables.load import Cite
from rules.tables.solubility import ksp

#: Activity coefficients and complexes change an ion product by less than this below about 1 mol/L (common practice, no source).
CLEAR_FACTOR = 10.0


@dataclass(frozen=True, slots=True)
class IonProduct:
    """The ions in mol/L, their product over the solubility product, and that product with its source."""

    solid: str
    cation: str
    cation_mol_L: float
    anion_mol_L: float
    ksp: float
    times: float
    cite: Cite


@lru_cache(maxsize=64)
def _ions(solid: str) -> tuple[str, int, str, int]:
    """The cation's element and count, and the element that counts the anion (Cl, S, Cr ...) with its count."""
    counts = {element: n for element, n in composition(solid.split(".")[0]).items() if element != "O"}
    (cation, p), (marker, q) = counts.items()
    return cation, p, marker, q


def ion_product(plan: DraftPlan, pair: Precipitate) -> IonProduct | None:
    """None where no solubility product is held or a strength is not known in mol/L."""
    held = ksp(pair.solid) if pair.solid else None
    by_slug = {item.substance.slug: item for item in plan.ingredients}
    a, b = by_slug.get(pair.a), by_slug.get(pair.b)
    if held is None or a is None or b is None:
        return None
    cation, p, marker, q = _ions(pair.solid)
    there, other = _ions_in(a, cation), _ions_in(b, marker)
    if there is None or other is None:
        return None
    value = 10**-held.pKsp
    return IonProduct(pair.solid, cation, there, other, value, there**p * other**q / value, held.cite)


def _ions_in(item: Ingredient, element: str) -> float | None:
    count = composition(item.form.formula).get(element) if item.form.formula else None
    return item.target_mol_L * count if item.target_mol_L and count else None
