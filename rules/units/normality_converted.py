"""Shows the molarity a normality was turned into, and with how many equivalents."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import figures
from rules.signs import only_where
from rules.tables.load import cite

_NORMAL = {"N": 1.0, "mN": 1e-3}


@only_where(*(f"unit {unit}" for unit in _NORMAL))
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    return [
        i
        for i in plan.ingredients
        if i.component.strength is not None and i.component.strength.unit in _NORMAL and i.target_mol_L
    ] or None


def check(_plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    for item in found:
        strength = item.component.strength
        if strength is None or not item.target_mol_L:
            continue
        per_mole = float(strength.value) * _NORMAL[strength.unit] / item.target_mol_L
        yield Hit(
            f"{strength.value} {strength.unit} {item.substance.name} is {figures(item.target_mol_L, 4)} mol/L, "
            f"with {per_mole:.0f} equivalent"
            f"{'s' if round(per_mole) != 1 else ''} in a mole."
        )


RULE = Rule(
    id="normality-converted",
    group="units",
    title="The strength is stated in moles",
    severity="note",
    applies_to="normalities whose reaction is known",
    citation=(cite("practice", "equivalents in a mole, see the equivalents table"),),
    rationale="The number of equivalents belongs to a reaction; used for another, the solution is wrong.",
    remedy="Write the strength in mol/L on the label.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "1 L of 0.1 N sulfuric acid",
            "fired",
            "0.1 N sulfuric acid is 0.05000 mol/L, with 2 equivalents in a mole.",
        ),
        Example("1 L of 0.1 M sulfuric acid", "not_applicable"),
    ),
)
