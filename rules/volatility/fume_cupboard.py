"""Reagents that give off harmful vapour are measured in the fume cupboard."""

from collections.abc import Iterable

from rules.handled import told, with_trait
from rules.made import handled
from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import say, sentence
from rules.signs import only_where
from rules.tables.hazards import statement
from rules.tables.load import Cite, cite

TOXIC_TO_BREATHE = frozenset({"H330", "H331"})


Found = list[tuple[Ingredient, str, Cite]]


@only_where("volatile", "poured")
def gather(plan: DraftPlan) -> Found | None:
    found: Found = [(item, told(trait), trait.cite) for item, trait in with_trait(plan, "volatile") or ()]
    named = {item.substance.slug for item, _, _ in found}
    for item in plan.ingredients:
        if item.kind != "solid" and item.substance.slug not in named:
            toxic = [code for _, code in handled(item, plan.policy) if code in TOXIC_TO_BREATHE]
            if toxic:
                found.append((item, f"{toxic[0]}, {statement(toxic[0]).text.lower()}", statement(toxic[0]).cite))
    return found or None


def check(plan: DraftPlan, found: Found) -> Iterable[Hit]:
    open_bench = plan.policy.house.open_bench_mol_L
    for item, why, cited in found:
        if item.kind == "stock" and item.stock_mol_L is not None:
            if item.stock_mol_L > open_bench:
                yield Hit(f"{say(item.stock_mol_L, 'mol/L')} {item.substance.name} is above {open_bench:g} mol/L and gives off "
                          f"vapour: {why}.", cites=(cited,))
        else:
            strength = f" ({item.stock_mass_pct:g} % w/w)" if item.stock_mass_pct else ""
            yield Hit(f"{sentence(item.substance.name)}{strength} gives off vapour: {why}.", cites=(cited,))


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
        Example("1 L of 0.1 M hydrochloric acid from 37 % density 1.18", "fired",
                "Hydrochloric acid (37 % w/w) gives off vapour: fuming acid gas from the concentrated acid; fume "
                "cupboard."),
        Example("500 mL of 0.1 M hydrochloric acid from 1 M stock", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
