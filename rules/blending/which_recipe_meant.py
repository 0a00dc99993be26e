"""Asks which recipe is meant where one name has several, or names a substance too."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Open
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite


@only_where("open")
def gather(plan: DraftPlan) -> Open | None:
    return plan.open_about("which-recipe") if plan.opens else None


def check(_plan: DraftPlan, question: Open) -> Iterable[Hit]:
    yield Hit(question.text, question.remedy, question=question)


RULE = Rule(
    id="which-recipe-meant",
    group="blending",
    title="The name means one recipe",
    severity="ask",
    applies_to="named mixtures",
    citation=(cite("practice", "common practice"),),
    rationale="Recipes of one name differ by factors of five.",
    remedy="Choose the recipe, or list the parts with their strengths.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "100 mL of Lugol's iodine",
            "fired",
            "Several recipes carry the name 'Lugol's iodine'. Which one is wanted?",
        ),
        Example("500 mL of PBS", "not_applicable"),
    ),
)
