"""Solid alkali, and other solids that heat strongly, go into cold water in portions."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import behaves
from rules.rule import Example, Hit, Rule, Severity
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.load import cite


@only_where("exothermic")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    return [item for item in plan.ingredients if item.kind == "solid" and behaves(item, "exothermic")] or None


def check(plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    warm = plan.has_step("dissolve-warm")
    severity: Severity = "stop" if warm else "note" if (plan.solution.temperature_rise or 0.0) < 10 else "caution"
    for item in found:
        held = behaves(item, "exothermic")
        steps = "but the steps dissolve it warm" if warm else "in portions, with stirring"
        yield Hit(
            sentence(f"{item.substance.name} gives off heat on dissolving and goes into cold water, {steps}."),
            severity=severity,
            approvable=not warm,
            cites=(held.cite,) if held else (),
        )


RULE = Rule(
    id="cold-water-for-strong-base",
    group="order_and_heat",
    title="The solid may go into warm water",
    severity="caution",
    applies_to="solids that give off much heat on dissolving",
    citation=(cite("practice", "common practice"),),
    rationale="Hot water on solid alkali boils and spits.",
    remedy="Use cold water, add the solid in small portions to the water, and wait between them.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "1L 2M NaOH",
            "fired",
            "Sodium hydroxide gives off heat on dissolving and goes into cold water, in portions, with stirring.",
        ),
        Example("1 L of 0.1 M NaCl", "not_applicable"),
    ),
)
