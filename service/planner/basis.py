"""The basis of a strength stated "as" something: an element in the substance, or nitrogen, phosphorus, CaCO3."""

from grammar.formula import composition
from rules.plan import Ingredient
from rules.tables.elements import element


def grams_of_basis(item: Ingredient, basis: str) -> float | None:
    """Grams of ``basis`` ("Cu", "iron") in one mole of the substance; None where it holds none of it."""
    found = element(basis)
    if found is None or not item.substance.formula:
        return None
    count = composition(item.substance.formula).get(found.symbol, 0.0)
    return count * found.weight if count else None
