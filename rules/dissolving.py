"""How strong a solution in water can get before it is saturated, in grams of dry solute in a litre.

The solubility tables count grams in 100 g of water. Turning that into a strength needs the density of the saturated
solution; where none is held, the strength lies between two bounds on how the density rises with the mass fraction.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, TypeAlias

from grammar.request import Prepare
from rules.plan import DraftPlan, Ingredient
from rules.reading import MOLAR
from rules.saying import say
from rules.tables.density import solution_density, water_density
from rules.tables.load import Cite
from rules.tables.solubility import Solubility, solubility

#: Where nothing is tabulated near the temperature of making up, a value this far off still tells soluble from insoluble.
NEAR_K = 10.0
#: Density of a solution is water's over (1 - k w). Of the fitted solutes the lightest organics have k near 0.2, and salts
#: reach 1, where the solute takes no room.
LEAST_RISE, MOST_RISE = 0.2, 1.0
#: From this share of saturation on, a cool room may bring crystals (common practice, no source).
NEAR_SHARE = 0.8
Judgement: TypeAlias = Literal["clear", "near", "uncertain", "beyond", "unknown"]
_OTHER_TEMPERATURES = (25.0, 20.0, 18.0, 30.0, 15.0)


@dataclass(frozen=True, slots=True)
class Saturation:
    """Grams without water of crystallisation in a litre of saturated solution; ``low`` = ``high`` where the density is held.

    ``fraction`` is grams in one gram of saturated solution; ``kind`` as in the solubility table; ``away_K`` is how far the
    tabulated temperature lies from the one asked for.
    """

    low_g_L: float
    high_g_L: float
    fraction: float
    temperature_degC: float
    away_K: float
    kind: str
    cites: tuple[Cite, ...]

    @property
    def margin(self) -> float:
        """The factor of doubt: 1 where the value can be relied on at this temperature."""
        return 2.0 if self.away_K > 2 else 1.5 if self.kind == "unverified" else 1.15 if self.kind == "disputed" else 1.0


@lru_cache(maxsize=1024)
def saturation(slug: str, temperature_degC: float) -> Saturation | None:
    """The saturated solution at (or near) that temperature; None for miscible liquids and where nothing is held."""
    held = solubility(slug, temperature_degC)
    if held is None:
        near = (t for t in _OTHER_TEMPERATURES if abs(t - temperature_degC) <= NEAR_K)
        held = next((s for t in near if (s := solubility(slug, t)) is not None), None)
    if not isinstance(held, Solubility):
        return None
    per_gram = held.g_anhydrous_per_100g_water / 100
    fraction = per_gram / (1 + per_gram)
    water = 1000 * water_density(min(40.0, max(0.0, held.temperature_degC)))
    dense = solution_density(slug, fraction, temperature_degC)
    low, high = fraction * water / (1 - LEAST_RISE * fraction), fraction * water / (1 - MOST_RISE * fraction)
    if dense is not None:
        low = high = 1000 * fraction * dense.value_g_per_mL
    elif high < 1.01 * low:
        low = high = (low + high) / 2
    return Saturation(
        low, high, fraction, held.temperature_degC, abs(held.temperature_degC - temperature_degC), held.kind, held.cites
    )


def dissolves(item: Ingredient, plan: DraftPlan) -> Saturation | None:
    """The saturated solution of what ``item`` dissolves as; None where water is not the solvent or nothing is held.

    Nothing is held for iodine beside an iodide (triiodide), nor while the solvent is still asked about.
    """
    if plan.open_about("solvent") is not None:
        return None
    iodide = any(other.substance.slug.endswith("iodide") for other in plan.ingredients)
    if item.substance.slug == "iodine" and plan.recipe is None and iodide:
        return None
    return saturation(item.substance.slug, made_at(plan)) if in_water(plan) else None


def made_at(plan: DraftPlan) -> float:
    """The temperature of making up, degC: as asked for, else that of the plan."""
    asked = plan.request.temperature if isinstance(plan.request, Prepare) else None
    return float(asked.value) if asked is not None else plan.temperature_degC


def in_water(plan: DraftPlan) -> bool:
    """Whether the solvent is water, or was not named."""
    solvent = getattr(plan.request, "solvent", None)
    return solvent is None or "water" in solvent


def wanted_grams(plan: DraftPlan, item: Ingredient) -> float | None:
    """Grams without water of crystallisation that a litre of the finished solution holds; None where not worked out."""
    found = _dry_grams(item, item.target_mol_L, item.target_g_L)
    if found is None and plan.total_mL and item.moles is not None and item.substance.molar_mass:
        return item.moles * item.substance.molar_mass / plan.total_mL * 1000
    return found


def stock_grams(item: Ingredient) -> float | None:
    """The same for the stock that is poured from."""
    return _dry_grams(item, item.stock_mol_L, item.stock_g_L)


def _dry_grams(item: Ingredient, molar: float | None, grams: float | None) -> float | None:
    dry = item.substance.molar_mass
    if molar is not None and dry:
        return molar * dry
    if grams is None:
        return None
    counted = item.counted.molar_mass
    return grams * dry / counted if dry and counted else grams


def loads(plan: DraftPlan, item: Ingredient, held: Saturation) -> tuple[float, float] | None:
    """The strength wanted over the saturated one, as (least, most) the bounds allow; None where the strength is not known."""
    if item.target_mass_fraction_pct is not None:
        dry, counted = item.substance.molar_mass, item.counted.molar_mass
        share = item.target_mass_fraction_pct / 100 * (dry / counted if dry and counted else 1.0)
        return share / held.fraction, share / held.fraction
    wanted = wanted_grams(plan, item)
    return (wanted / held.high_g_L, wanted / held.low_g_L) if wanted is not None else None


def keeps_in_solution(plan: DraftPlan, *slugs: str) -> bool:
    """Whether all of these are parts of a published recipe made at its own strength or weaker: they hold each other in solution."""
    recipe = plan.recipe
    if recipe is None or not all(slug in recipe.parts for slug in slugs):
        return False
    return recipe.saturated or (recipe.scale <= 1 and len(recipe.parts) > 1)


def judged(plan: DraftPlan, item: Ingredient, held: Saturation) -> Judgement:
    """How the strength wanted stands against saturation.

    A remembered solubility must be passed by half, and one of another temperature by double, before it refuses anything.
    """
    load = loads(plan, item, held)
    if load is None:
        return "unknown"
    least, most = load
    margin = held.margin
    if most > 1 / margin and keeps_in_solution(plan, item.substance.slug):
        return "clear"  # The rule recipe-keeps-it-dissolved says so.
    if least > margin:
        return "beyond"
    if most > 1 / margin:
        return "uncertain"
    return "near" if most > NEAR_SHARE / margin else "clear"


def as_strength(item: Ingredient, dry_g_L: float, count: int = 2) -> str:
    """That many dry grams in a litre in the words of the request: in mol/L where it speaks of moles, else in g/L."""
    dry, strength, counted = item.substance.molar_mass, item.component.strength, item.counted.molar_mass
    if dry and (strength is None or strength.unit in MOLAR):
        return say(dry_g_L / dry, "mol/L", count)
    return say(dry_g_L * counted / dry if dry and counted else dry_g_L, "g/L", count)


def in_words(plan: DraftPlan, item: Ingredient, held: Saturation) -> tuple[str, str, str]:
    """The strength asked for, the saturated one, and one that is safe."""
    wanted = wanted_grams(plan, item)
    if wanted is None:
        return (
            f"{item.target_mass_fraction_pct:.3g} % w/w",
            f"about {100 * held.fraction:.2g} % w/w",
            f"{80 * held.fraction:.2g} % w/w",
        )
    asked, low, high = (as_strength(item, grams) for grams in (wanted, held.low_g_L, held.high_g_L))
    if asked == high:
        asked, low, high = (as_strength(item, grams, 3) for grams in (wanted, held.low_g_L, held.high_g_L))
    return asked, f"about {low}" if low == high else f"{low} to {high}", as_strength(item, 0.8 * held.low_g_L)
