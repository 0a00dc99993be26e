"""Notes a strong acid or base whose pH alone would make the solution corrosive, unless its reserve shows otherwise."""

import math
from collections.abc import Iterable

from rules.handled import in_group, names
from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule, Unchecked
from rules.signs import only_where
from rules.tables.groups import groups_of
from rules.tables.load import cite

#: Annex I, 3.2.3.1.2: pH of 2 or less, 11.5 or more.
ACID_pH, BASE_pH = 2.0, 11.5


@only_where("group strong-acid", "group strong-base")
def gather(plan: DraftPlan) -> list[tuple[Ingredient, float]] | Unchecked | None:
    found = in_group(plan, "strong-acid", "strong-base")
    if found is None or plan.hazards is None or any(one.hazard_class == "Skin Corr." for one in plan.hazards.classes):
        return None
    if len(plan.ingredients) > 1:
        return Unchecked(f"The pH of {names(i.substance for i in plan.ingredients)} together is not worked out here.")
    item = found[0]
    return [(item, item.target_mol_L)] if item.target_mol_L else None


def check(_plan: DraftPlan, found: list[tuple[Ingredient, float]]) -> Iterable[Hit]:
    for item, molar in found:
        acid = "strong-acid" in groups_of(item.substance.slug)
        # One proton or hydroxide for each formula unit: the second only adds to it.
        ph = -math.log10(molar) if acid else 14 + math.log10(molar)
        if (ph <= ACID_pH) if acid else (ph >= BASE_pH):
            side = f"{ACID_pH:g} or less" if acid else f"{BASE_pH:g} or more"
            yield Hit(f"The pH is about {round(ph, 1) + 0.0:.1f}; a pH of {side} counts as corrosive unless data or the "
                      f"{'acid' if acid else 'alkali'} reserve show otherwise. Here the limits by percent of the listed "
                      f"{item.substance.name} were used, and they do not reach that class.")


RULE = Rule(
    id="extreme-ph",
    group="hazard",
    title="The pH does not stand against the class",
    severity="note",
    applies_to="strong acids and bases under their limits for skin corrosion",
    citation=(cite("clp-annex-i", "Annex I, 3.2.3.1.2"),),
    rationale="A limit by percent can call a solution harmless that still hurts an eye: pH and reserve are looked at too.",
    remedy="Goggles all the same; rinse splashes at once.",
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 1 M hydrochloric acid from 37 % density 1.18", "fired",
                "The pH is about 0.0; a pH of 2 or less counts as corrosive unless data or the acid reserve show otherwise. Here "
                "the limits by percent of the listed hydrochloric acid were used, and they do not reach that class."),
        Example("1 L of 0.001 M hydrochloric acid from 0.1 M stock", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
