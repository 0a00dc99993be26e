"""Warns that a solution kept in the refrigerator may crystallise there, though it is clear when it is made."""

from collections.abc import Iterable

from rules.dissolving import Saturation, as_strength, in_water, judged, saturation
from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule, Unchecked
from rules.tables.load import cite

#: The colder end of a refrigerator that keeps 2 to 8 degC.
COLD_degC = 2.0
#: How the storage table says refrigerator.
_KEPT_COLD = "2-8 C"


def gather(plan: DraftPlan) -> list[tuple[Ingredient, Saturation]] | Unchecked | None:
    if plan.storage is None or _KEPT_COLD not in plan.storage.condition or not in_water(plan):
        return None
    solids = [item for item in plan.ingredients if item.form.state == "solid"]
    held = [(item, found) for item in solids if (found := saturation(item.substance.slug, COLD_degC)) is not None]
    missing = [item.substance.name for item in solids if item not in [known for known, _ in held]]
    if missing and not any(judged(plan, item, found) in ("beyond", "uncertain") for item, found in held):
        return Unchecked(
            f"It is kept at 2 to 8 degC, and no solubility of {missing[0]} near {COLD_degC:g} degC is held: "
            "whether it stays dissolved there was not checked."
        )
    return held or None


def check(plan: DraftPlan, found: list[tuple[Ingredient, Saturation]]) -> Iterable[Hit]:
    for item, held in found:
        if judged(plan, item, held) in ("beyond", "uncertain"):
            yield Hit(
                f"It is kept at 2 to 8 degC, and at {COLD_degC:g} degC a solution of {item.substance.name} holds only about "
                f"{as_strength(item, held.low_g_L)}: crystals may come out in the refrigerator.",
                cites=held.cites,
            )


RULE = Rule(
    id="crystallises-in-the-cold",
    group="solubility",
    title="It stays dissolved where it is kept cold",
    severity="caution",
    applies_to="solutions kept at 2 to 8 degC",
    citation=(cite("crc-98", "Aqueous solubility of inorganic compounds at various temperatures"),),
    rationale="What lies as crystals on the bottom of the bottle is missing from what is poured off the top.",
    remedy="Warm to room temperature and mix until clear before each use, or ask for a weaker solution.",
    gather=gather,
    check=check,
    examples=(
        Example("250 mL of 0.4 M disodium hydrogen phosphate dodecahydrate", "fired",
                "It is kept at 2 to 8 degC, and at 2 degC a solution of disodium hydrogen phosphate holds only about 0.15 mol/L: "
                "crystals may come out in the refrigerator."),
        Example("250 mL of 0.05 M disodium hydrogen phosphate dodecahydrate", "passed"),
        Example("100 mL of 1 % w/v starch", "unchecked",
                "It is kept at 2 to 8 degC, and no solubility of starch (soluble) near 2 degC is held: whether it stays dissolved "
                "there was not checked."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
