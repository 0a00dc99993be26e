"""Warns that a solution made up warm holds more than stays dissolved at room temperature."""

from collections.abc import Iterable

from rules.dissolving import Saturation, as_strength, in_water, judged, made_at, saturation
from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite

ROOM_degC = 20.0


def gather(plan: DraftPlan) -> list[tuple[Ingredient, Saturation]] | None:
    if made_at(plan) <= ROOM_degC or not in_water(plan):
        return None
    return [
        (item, held)
        for item in plan.ingredients
        if item.kind in ("solid", "liquid") and (held := saturation(item.substance.slug, ROOM_degC))
    ] or None


def check(plan: DraftPlan, found: list[tuple[Ingredient, Saturation]]) -> Iterable[Hit]:
    for item, held in found:
        if judged(plan, item, held) in ("beyond", "uncertain"):
            yield Hit(
                f"Made up at {made_at(plan):g} degC it may dissolve, but at {ROOM_degC:g} degC a solution of {item.substance.name} "
                f"holds only about {as_strength(item, held.low_g_L)}: it crystallises on cooling.",
                cites=held.cites,
            )


RULE = Rule(
    id="crystallises-on-cooling",
    group="solubility",
    title="It stays dissolved at room temperature",
    severity="caution",
    applies_to="solutions made up warmer than 20 degC",
    citation=(cite("crc-98", "Aqueous solubility of inorganic compounds at various temperatures"),),
    rationale="What crystallises in the bottle is missing from the solution.",
    remedy="Keep and use it warm, or ask for a weaker solution.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "100 mL of 4 M potassium nitrate at 40 C",
            "fired",
            "Made up at 40 degC it may dissolve, but at 20 degC a solution of potassium nitrate holds only "
            "about 2.8 mol/L: it crystallises on cooling.",
        ),
        Example("100 mL of 1 M potassium nitrate at 40 C", "passed"),
        Example("100 mL of 1 M potassium nitrate", "not_applicable"),
    ),
)
