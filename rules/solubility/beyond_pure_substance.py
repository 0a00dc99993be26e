"""Refuses a strength that no solution can have, whatever dissolves: more solute in a litre than there is room for."""

from collections.abc import Iterable

from rules.dissolving import wanted_grams
from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import figures
from rules.tables.concentrated import density_for
from rules.tables.load import Cite, cite

#: Grams of solid in a litre beyond any common solution in water (the heaviest hold some 2 kg; common practice, no source).
MOST_SOLID_G_L = 2500.0


def gather(plan: DraftPlan) -> list[tuple[Ingredient, float]] | None:
    return [(item, wanted) for item in plan.ingredients if (wanted := wanted_grams(plan, item)) is not None] or None


def check(_plan: DraftPlan, found: list[tuple[Ingredient, float]]) -> Iterable[Hit]:
    for item, wanted in found:
        most, of, where = _most(item)
        if wanted > most:
            yield Hit(
                f"The strength asked for puts {figures(wanted)} g of {item.substance.name} in one litre; {of} holds {figures(most)} g.",
                cites=where,
            )


def _most(item: Ingredient) -> tuple[float, str, tuple[Cite, ...]]:
    pure = density_for(item.substance.slug, 100.0) if item.form.state == "liquid" else None
    if pure is not None:
        return 1000 * pure.value_g_per_mL, "a litre of the pure liquid", (pure.cite,)
    return MOST_SOLID_G_L, "no common solution in water", ()


RULE = Rule(
    id="beyond-pure-substance",
    group="solubility",
    title="The strength leaves room for a solvent",
    severity="stop",
    applies_to="every solute whose mass in a litre is known",
    citation=(cite("practice", "density of the pure liquid, or the heaviest common solutions"),),
    rationale="A misplaced decimal point gives strengths that cannot exist.",
    remedy="Check the number and the unit of the strength.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "25 M acetic acid 100 mL",
            "fired",
            "The strength asked for puts 1500 g of acetic acid in one litre; a litre of the pure liquid holds 1050 g.",
        ),
        Example("1 M acetic acid 100 mL", "passed"),
        Example("make some sodium chloride", "not_applicable"),
    ),
)
