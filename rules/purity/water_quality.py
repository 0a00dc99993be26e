"""The water used does not bring in what spoils the solution: carbon dioxide, chloride, or whatever the tap holds."""

from collections.abc import Iterable

from grammar.request import Prepare
from rules.plan import DraftPlan, Ingredient
from rules.reading import behaves, must_be_exact
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.tables.load import cite

_SILVER = frozenset({"silver-nitrate", "silver-sulfate", "silver-acetate", "silver-perchlorate", "silver-fluoride"})


def gather(plan: DraftPlan) -> list[tuple[Ingredient, str]] | None:
    if not isinstance(plan.request, Prepare):
        return None
    found: list[tuple[Ingredient, str]] = []
    if plan.ingredients and "tap" in (plan.request.solvent or ""):
        found.append((plan.ingredients[0], "tap"))
    for item in plan.ingredients:
        if item.substance.slug in _SILVER:
            found.append((item, "chloride"))
        elif behaves(item, "co2-absorbing"):
            found.append((item, "carbon dioxide"))
        elif must_be_exact(plan):
            found.append((item, ""))
    return found or None


def check(_plan: DraftPlan, found: list[tuple[Ingredient, str]]) -> Iterable[Hit]:
    for item, spoiler in found:
        if spoiler == "tap":
            yield Hit(
                "Tap water holds chloride, carbonate and calcium, so the solution would hold them too.",
                "Use deionised or distilled water.",
                "caution",
            )
        elif spoiler == "chloride":
            yield Hit(
                f"Chloride in the water turns {item.substance.name} cloudy and lowers its strength.",
                "Use deionised water and glassware rinsed with it, never tap water.",
            )
        elif spoiler:
            yield Hit(
                sentence(f"{item.substance.name} takes up carbon dioxide from ordinary water as carbonate."),
                "Use water freshly boiled and cooled under cover where the strength or the absence of carbonate matters.",
            )


RULE = Rule(
    id="water-quality",
    group="purity",
    title="Deionised water is enough",
    severity="note",
    applies_to="accurate solutions, alkalis, silver salts, and any request that names tap water",
    citation=(cite("practice", "common practice"),),
    rationale="What the water brings in reacts with the solute before anyone uses the solution.",
    remedy="Use the water named.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "250ml 0.1M AgNO3",
            "fired",
            "Chloride in the water turns silver nitrate cloudy and lowers its strength.",
        ),
        Example("accurate 250 mL of 0.1000 M potassium chloride", "passed"),
        Example("250 mL of 0.1 M potassium chloride", "not_applicable"),
    ),
)
