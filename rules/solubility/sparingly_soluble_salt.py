"""Refuses a solution of a salt that hardly dissolves at all."""

from collections.abc import Iterable

from rules.dissolving import Saturation, dissolves, judged
from rules.plan import DraftPlan, Ingredient
from rules.reading import dissolved_in_acid
from rules.rule import Example, Hit, Rule
from rules.saying import say, sentence
from rules.tables.load import cite

#: Grams in a litre below which a salt counts as insoluble in everyday work (common practice, no source).
INSOLUBLE_G_L = 1.0


def gather(plan: DraftPlan) -> list[tuple[Ingredient, Saturation]] | None:
    return [
        (item, held)
        for item in plan.ingredients
        if item.kind == "solid" and (held := dissolves(item, plan)) and held.high_g_L < INSOLUBLE_G_L
    ] or None


def check(plan: DraftPlan, found: list[tuple[Ingredient, Saturation]]) -> Iterable[Hit]:
    for item, held in found:
        if judged(plan, item, held) == "beyond" and not dissolved_in_acid(plan, item):
            yield Hit(
                sentence(
                    f"{item.substance.name} counts as insoluble: a litre of water takes up about {say(held.high_g_L, 'g', 2)} of it at "
                    f"{held.temperature_degC:g} degC, less than {INSOLUBLE_G_L:g} g."
                ),
                "Ask for a soluble salt of the ion that is wanted, or for a suspension of a stated mass in a volume.",
                cites=held.cites,
            )


RULE = Rule(
    id="sparingly-soluble-salt",
    group="solubility",
    title="The strength is below saturation of a sparingly soluble salt",
    severity="stop",
    applies_to="solids of which less than 1 g dissolves in a litre",
    citation=(cite("openstax-chem2e", "section 4.2, solubility guidelines, and Appendix J"),),
    rationale="The solution would be water with a solid in it.",
    remedy="Ask for a soluble salt.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.1 M silver chloride 250 mL",
            "fired",
            "Silver chloride counts as insoluble: a litre of water takes up about 1.9 mg of it at 25 degC, "
            "less than 1 g.",
        ),
        Example("0.1 M silver nitrate 250 mL", "not_applicable"),
    ),
)
