"""Reagents that give off harmful vapour are measured in the fume cupboard."""

from collections.abc import Iterable

from rules.handled import Trait, opening, with_trait
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.tables.load import cite

# Weaker stocks of the fuming acids and of ammonia are poured on the open bench (common practice, no source).
OPEN_BENCH_MOL_L = 2.0


def gather(plan: DraftPlan) -> list[Trait] | None:
    return with_trait(plan, "volatile")


def check(_plan: DraftPlan, found: list[Trait]) -> Iterable[Hit]:
    for item, trait in found:
        if item.kind == "stock" and item.stock_mol_L is not None:
            if item.stock_mol_L <= OPEN_BENCH_MOL_L:
                continue
            yield Hit(f"{say(item.stock_mol_L, 'mol/L')} {item.substance.name} is above {OPEN_BENCH_MOL_L:g} mol/L and gives off "
                      f"vapour ({trait.detail}).", cites=(trait.cite,))
        else:
            strength = f" ({item.stock_mass_pct:g} % w/w)" if item.stock_mass_pct else ""
            yield Hit(f"{opening(item.substance.name)}{strength} gives off vapour: {trait.detail}.", cites=(trait.cite,))


RULE = Rule(
    id="fume-cupboard",
    group="volatility",
    title="Volatile reagents are handled in the fume cupboard",
    severity="caution",
    applies_to="volatile liquids and solids, fuming acids and ammonia",
    citation=(cite("practice", "common practice"),),
    rationale="The vapour harms at the moment of pouring, before anything is diluted.",
    remedy="Measure and dilute it in the fume cupboard, with the fan on, and close the bottle at once.",
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.1 M hydrochloric acid from 37 % density 1.18", "fired", ""),
        Example("500 mL of 0.1 M hydrochloric acid from 1 M stock", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
