"""No flame or hot plate near a flammable liquid."""

from collections.abc import Iterable

from rules.handled import solvent, told, with_trait
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.behaviour import Behaviour, behaviours
from rules.tables.load import cite


@only_where("flammable", "solvent")
def gather(plan: DraftPlan) -> list[tuple[str, Behaviour]] | None:
    found = [(item.substance.name, trait) for item, trait in with_trait(plan, "flammable") or ()]
    other = solvent(plan)
    if other is not None and "flammable" in (known := behaviours(other.slug)):
        found.append((other.name, known["flammable"]))
    return found or None


def check(plan: DraftPlan, found: list[tuple[str, Behaviour]]) -> Iterable[Hit]:
    warmed = plan.has_step("dissolve-warm")
    for name, trait in found:
        if warmed:
            yield Hit(f"The plan warms the solution, and {name} is there: {told(trait)}.",
                      "Warm in a hot water bath taken off the heat, in the fume cupboard. No flame, no hot plate.", cites=(trait.cite,))
        else:
            yield Hit(f"{sentence(name)} is a {told(trait)}." if trait.detail[:4] in ("high", "flam", "comb")
                      else f"{sentence(name)}: {told(trait)}.", cites=(trait.cite,))


RULE = Rule(
    id="flammable-no-flame",
    group="volatility",
    title="No flame near flammable liquids",
    severity="caution",
    applies_to="flammable solutes and solvents",
    citation=(cite("practice", "common practice"),),
    rationale="The vapour of a spilt or open vessel reaches a flame across the bench.",
    remedy="Put out burners and keep hot plates away; ground metal containers when decanting large volumes.",
    gather=gather,
    check=check,
    examples=(
        Example("70 % v/v ethanol 500 mL from 96 %", "fired",
                "Ethanol is a highly flammable liquid; no flame or hot plate near, ground large transfers."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
