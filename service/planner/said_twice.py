"""A strength said in two ways ("N/2 (M/4)"): both must be the same strength of the substance, or the person says which holds."""

from dataclasses import replace
from math import isclose

from grammar.request import Prepare, Quantity
from rules.plan import DraftPlan, Ingredient, Open, Option
from rules.tables.equivalents import equivalents
from service.planner.questions import with_component
from service.planner.strength import strength_of

#: Two ways to say one strength agree within this share, or within half a unit of the last digit typed.
AGREES = 0.01


def against_other_strength(plan: DraftPlan, request: Prepare, item: Ingredient, index: int) -> Open | None:
    """None where no other strength was said or it is the same; the question which of the two holds otherwise."""
    other = item.component.also
    if other is None:
        return None
    said = _agrees(item, other)
    if said is not None:
        plan.assumptions.append(said)
        return None
    main = item.component.strength
    assert main is not None
    options = tuple(
        Option(key, _typed(quantity), with_component(request, index, replace(item.component, strength=quantity, also=None)))
        for key, quantity in (("first", main), ("second", other))
    )
    return Open(
        "strengths-disagree",
        f"{_typed(main)} and {_typed(other)} are not known to be the same strength of {item.substance.name}. Which holds?",
        options,
        remedy="Leave one of the two strengths out.",
    )


def _typed(quantity: Quantity) -> str:
    return f"{quantity.value} {quantity.unit}"


def _agrees(item: Ingredient, other: Quantity) -> str | None:
    strength = strength_of(other)
    if strength.family == "eq/L":
        for row in equivalents(item.substance.slug):
            if item.target_mol_L is not None and _near(item.target_mol_L * row.per_mole, strength.value, other):
                return f"{_typed(other)} is the same strength: {row.per_mole} equivalents in a mole ({row.reaction})."
        return None
    held = {
        "mol/L": item.target_mol_L,
        "g/L": item.target_g_L,
        # A bare percentage beside a molarity: grams in 100 mL, which is compared only.
        "%": item.target_g_L / 1000 if item.target_g_L is not None else None,
        "w/w": item.target_mass_fraction_pct / 100 if item.target_mass_fraction_pct is not None else None,
    }.get(strength.family)
    if held is None or not _near(held, strength.value, other):
        return None
    return f"{_typed(other)} is the same strength."


def _near(held: float, said: float, typed: Quantity) -> bool:
    exponent = typed.value.as_tuple().exponent
    half_a_digit = said / float(typed.value) * 0.5 * 10.0 ** int(exponent) if typed.value else 0.0
    return isclose(held, said, rel_tol=AGREES) or abs(held - said) <= half_a_digit
