"""The full name goes on the label, not only the formula or a short name."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import named
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite
from rules.tables.substances import by_name


def gather(plan: DraftPlan) -> list[Ingredient] | None:
    return plan.ingredients or None


def check(_plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    for item in found:
        typed = item.component.solute
        short = bool(typed.formula) and not typed.name
        if not short and typed.name:
            short = any(match.kind in ("abbreviation", "formula") for match in by_name(typed.name))
        if short:
            yield Hit(f"The request says '{typed.as_typed or typed.name or typed.formula}'; the label says {named(item)}.")


RULE = Rule(
    id="formula-only-name",
    group="labelling",
    title="The substance was named in full",
    severity="note",
    applies_to="every solution",
    citation=(cite("practice", "common practice"),),
    rationale="Formulas are misread and abbreviations mean different things in the next room.",
    remedy="Write the full name, and the formula after it.",
    gather=gather,
    check=check,
    examples=(
        Example("ZnSO4.7H2O 0.1M 250ml", "fired",
                "The request says 'ZnSO4.7H2O'; the label says zinc sulfate heptahydrate."),
        Example("1 L of 0.1 M sodium chloride", "passed"),
        Example("make some acid", "not_applicable"),
    ),
)
