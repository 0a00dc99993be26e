"""Warns that a solution kept in the cold may crystallise or freeze there, though it is clear when it is made."""

from collections.abc import Iterable

from rules.dissolving import Saturation, as_strength, in_water, judged, saturation
from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule, Unchecked
from rules.tables.load import cite

#: The colder end of a refrigerator that keeps 2 to 8 degC.
COLD_degC = 2.0
#: How the storage table says refrigerator.
_KEPT_COLD = "2-8 C"


def _coldest(plan: DraftPlan) -> float | None:
    """The coldest the bottle gets, degC: as asked for, else as the storage table says; None where it is not kept cold."""
    asked = getattr(plan.request, "kept_at", None)
    if asked is not None:
        return float(asked.value) if asked.value < plan.temperature_degC else None
    return COLD_degC if plan.storage is not None and _KEPT_COLD in plan.storage.condition else None


def _kept(plan: DraftPlan) -> str:
    asked = getattr(plan.request, "kept_at", None)
    return "2 to 8 degC" if asked is None else f"{float(asked.value):g} degC"


def gather(plan: DraftPlan) -> list[tuple[Ingredient, Saturation]] | Unchecked | None:
    cold = _coldest(plan)
    if cold is None or not in_water(plan):
        return None
    if cold < 0:
        return []
    solids = [item for item in plan.ingredients if item.form.state == "solid"]
    held = [(item, found) for item in solids if (found := saturation(item.substance.slug, cold)) is not None]
    missing = [item.substance.name for item in solids if item not in [known for known, _ in held]]
    if missing and not any(judged(plan, item, found) in ("beyond", "uncertain") for item, found in held):
        return Unchecked(
            f"It is kept at {_kept(plan)}, and no solubility of {missing[0]} near {cold:g} degC is held: "
            "whether it stays dissolved there was not checked."
        )
    return held or None


def check(plan: DraftPlan, found: list[tuple[Ingredient, Saturation]]) -> Iterable[Hit]:
    cold = _coldest(plan)
    if cold is not None and cold < 0:
        yield Hit(
            f"It is kept at {cold:g} degC: water freezes there, swells by a tenth and leaves the solute behind in the last liquid.",
            remedy="Fill a plastic bottle to four fifths at most, thaw it whole and mix it before each use, or keep it above 0 degC.",
        )
    for item, held in found:
        if judged(plan, item, held) in ("beyond", "uncertain"):
            yield Hit(
                f"It is kept at {_kept(plan)}, and at {cold:g} degC a solution of {item.substance.name} holds only about "
                f"{as_strength(item, held.low_g_L)}: crystals may come out there.",
                cites=held.cites,
            )


RULE = Rule(
    id="crystallises-in-the-cold",
    group="solubility",
    title="It stays dissolved where it is kept cold",
    severity="caution",
    applies_to="solutions kept colder than they are made",
    citation=(cite("crc-98", "Aqueous solubility of inorganic compounds at various temperatures"),),
    rationale="What lies as crystals on the bottom of the bottle is missing from what is poured off the top.",
    remedy="Warm to room temperature and mix until clear before each use, or ask for a weaker solution.",
    gather=gather,
    check=check,
    examples=(
        Example("250 mL of 0.4 M disodium hydrogen phosphate dodecahydrate", "fired",
                "It is kept at 2 to 8 degC, and at 2 degC a solution of disodium hydrogen phosphate holds only about 0.15 mol/L: "
                "crystals may come out there."),
        Example("500 mL of 1.5 M potassium nitrate, store at 0 °C", "fired",
                "It is kept at 0 degC, and at 0 degC a solution of potassium nitrate holds only about 1.2 mol/L: crystals may come "
                "out there."),
        Example("500 mL of 0.5 M potassium nitrate, stored in the fridge", "passed"),
        Example("100 mL of 0.1 M sodium chloride kept at -20 °C", "fired",
                "It is kept at -20 degC: water freezes there, swells by a tenth and leaves the solute behind in the last liquid."),
        Example("250 mL of 0.05 M disodium hydrogen phosphate dodecahydrate", "passed"),
        Example("100 mL of 1 % w/v starch", "unchecked",
                "It is kept at 2 to 8 degC, and no solubility of starch (soluble) near 2 degC is held: whether it stays dissolved "
                "there was not checked."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
