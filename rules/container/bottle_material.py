"""The bottle that was asked for suits the solution."""

from collections.abc import Iterable

from rules.handled import bottle_asked
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule, Unchecked
from rules.signs import only_where
from rules.tables.handling import Storage
from rules.tables.load import cite

# What a held container must name for each material somebody can ask for.
SUITS = {"plastic": ("polythene", "plastic", "PTFE"), "glass": ("glass",), "clear": ("glass", "polythene", "plastic"), "amber": ("glass",)}


@only_where("bottle", "container")
def gather(plan: DraftPlan) -> tuple[str, Storage] | Unchecked | None:
    bottle = bottle_asked(plan)
    if bottle is None or bottle.material is None or plan.main is None:
        return None
    if plan.storage is None:
        return Unchecked(f"No kind of bottle is held for {plan.main.substance.name}, so nothing says whether {bottle.material} suits it.")
    return bottle.material, plan.storage


def check(plan: DraftPlan, found: tuple[str, Storage]) -> Iterable[Hit]:
    material, kept = found
    held = kept.container.replace("never glass", "")
    wrong = not any(word in held for word in SUITS[material]) or (material in ("clear", "glass") and "amber" in held and " or " not in held)
    if wrong and plan.main is not None:
        yield Hit(f"A {material} bottle was asked for; {plan.main.substance.name} solution is kept in {kept.container}.",
                  cites=(kept.cite,))


RULE = Rule(
    id="bottle-material",
    group="container",
    title="The bottle asked for suits the solution",
    severity="caution",
    applies_to="requests that name a bottle and its material",
    citation=(cite("practice", "common practice"),),
    rationale="The wrong material lets the strength drift or the bottle fail.",
    remedy="Use the bottle named here instead.",
    gather=gather,
    check=check,
    examples=(
        Example("500 mL of 0.1 M sodium hydroxide in a glass bottle", "fired",
                "A glass bottle was asked for; sodium hydroxide solution is kept in polythene."),
        Example("25 % w/v potassium iodide 100 mL brown bottle", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
