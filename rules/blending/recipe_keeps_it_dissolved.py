"""Warns where a part of a recipe is beyond its own solubility and only its partners hold it in solution."""

from collections.abc import Iterable

from rules.dissolving import dissolves, keeps_in_solution, wanted_grams
from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.tables.load import cite


def gather(plan: DraftPlan) -> list[Ingredient] | None:
    if plan.recipe is None:
        return None
    return [i for i in plan.ingredients if i.kind == "solid" and keeps_in_solution(plan, i.substance.slug)] or None


def check(plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    assert plan.recipe is not None
    for item in found:
        held, wanted = dissolves(item, plan), wanted_grams(plan, item)
        if held is None or wanted is None or wanted <= held.high_g_L:
            continue
        if plan.recipe.saturated:
            yield Hit(f"{plan.recipe.name}: of {say(wanted, 'g/L')} about {say(held.high_g_L, 'g/L', 2)} dissolves; the rest stays behind.",
                      "Decant or filter it; label it saturated, not with the weighed strength.", cites=held.cites)  # fmt: skip
        else:
            yield Hit(
                f"{say(wanted, 'g/L')} of {item.substance.name} is beyond the {say(held.high_g_L, 'g/L', 2)} that water takes up; "
                "the other parts of the recipe hold it in solution.",
                cites=(*held.cites, *plan.recipe.cites),
            )


RULE = Rule(
    id="recipe-keeps-it-dissolved",
    group="blending",
    title="Each part dissolves by itself",
    severity="caution",
    applies_to="named mixtures",
    citation=(cite("practice", "common practice"),),
    rationale="Iodine in iodide or copper in citrate goes into solution only with its partner.",
    remedy="Keep to the order of the recipe; do not make up before all is dissolved.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "250 mL of limewater",
            "fired",
            "limewater (saturated calcium hydroxide): of 3.00 g/L about 1.7 g/L dissolves; the rest stays behind.",
        ),
        Example("500 mL of PBS", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
