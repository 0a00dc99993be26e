"""One dilution step is at most one in a hundred."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import figures, say, sentence
from rules.signs import only_where
from rules.tables.load import cite

# Beyond this the delivery of a few drops decides the strength (common practice, no source).
MOST = 100.0


@only_where("stock")
def gather(plan: DraftPlan) -> list[tuple[Ingredient, float]] | None:
    total = plan.total_mL
    if total is None:
        return None
    poured = [item for item in plan.ingredients if item.kind == "stock"]
    return [(item, total / item.volume_mL) for item in poured if item.volume_mL] or None


def check(_plan: DraftPlan, found: list[tuple[Ingredient, float]]) -> Iterable[Hit]:
    for item, factor in found:
        if factor > MOST * (1 + 1e-6) and item.volume_mL is not None:
            yield Hit(f"{sentence(item.substance.name)} is diluted {figures(factor)} times in one step ({say(item.volume_mL, 'mL')}), "
                      f"above the {MOST:g} times that one step carries well.")


RULE = Rule(
    id="dilution-too-great",
    group="measurement",
    title="No step dilutes too far",
    severity="caution",
    applies_to="dilutions of a stock",
    citation=(cite("practice", "common practice"),),
    rationale="The relative error of a very small volume is the error of the whole solution.",
    remedy="Dilute in two steps by way of an intermediate, each of at most one in a hundred.",
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.0001 M potassium chloride from 1 M stock", "fired",
                "Potassium chloride is diluted 10000 times in one step (0.100 mL), above the 100 times that one step "
                "carries well."),
        Example("100 mL of 0.05 M KCl from 1 M stock", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
