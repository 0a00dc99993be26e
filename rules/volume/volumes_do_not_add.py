"""Says how much less the made solution fills than its liquids did apart, where that matters."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule, Unchecked
from rules.saying import figures, say
from rules.tables.concentrated import density_for
from rules.tables.density import fraction_from_molarity, water_density
from rules.tables.load import cite

#: Shrinking of less than this is lost in a measuring cylinder (common practice, no source).
LEAST_SHARE = 0.005
#: A liquid poured in by less than this share of the total cannot shrink it by that much.
LEAST_POURED = 0.02


def gather(plan: DraftPlan) -> tuple[Ingredient, float, float] | Unchecked | None:
    item = plan.main
    if item is None or len(plan.ingredients) != 1 or item.kind == "solid" or item.volume_mL is None \
            or not plan.total_mL or item.volume_mL < LEAST_POURED * plan.total_mL:
        return None
    if item.kind == "stock" and item.stock_volume_pct is None:
        return None
    made = plan.solution
    poured = item.stock_density or _density(item)
    if made.density is None or made.density_assumed or poured is None:
        return Unchecked(f"No density of {item.substance.name} in water is held, so how far the volumes shrink was not worked out.")
    water_g = plan.total_mL * made.density - item.volume_mL * poured
    return item, item.volume_mL, water_g / water_density(plan.temperature_degC)


def _density(item: Ingredient) -> float | None:
    """g/mL of what is poured: the pure liquid, or a stock of a strength by volume."""
    pure, share, molar = density_for(item.substance.slug, 100.0), item.stock_volume_pct or 100.0, item.substance.molar_mass
    if pure is None or share >= 100 or not molar:
        return pure.value_g_per_mL if pure else None
    found = fraction_from_molarity(item.substance.slug, share * 10 * pure.value_g_per_mL / molar, molar)
    return found[1].value_g_per_mL if found else None


def check(plan: DraftPlan, found: tuple[Ingredient, float, float]) -> Iterable[Hit]:
    item, poured, water = found
    total = plan.total_mL or 0.0
    apart = poured + water
    if (apart - total) / apart >= LEAST_SHARE:
        cites = (plan.solution.density_cite,) if plan.solution.density_cite else ()
        yield Hit(f"{say(poured, 'mL')} of the {item.substance.name} and {say(water, 'mL')} of water together fill {say(total, 'mL', 4)}, "
                  f"not {say(apart, 'mL', 4)}: the volume shrinks by {figures(100 * (apart - total) / apart, 2)} %.", cites=cites)


RULE = Rule(
    id="volumes-do-not-add",
    group="volume",
    title="The volumes of the liquids very nearly add up",
    severity="note",
    applies_to="liquids and concentrated reagents diluted by volume",
    citation=(cite("laliberte-2009", "density equation"),),
    rationale="Who measures the water out instead of filling to the mark makes too little, and too strong.",
    remedy="Do not measure the water out: make up to the mark, after cooling to 20 degC.",
    gather=gather,
    check=check,
    examples=(
        Example("100 mL of 50 % v/v ethanol", "fired",
                "50.0 mL of the ethanol and 53.4 mL of water together fill 100.0 mL, not 103.4 mL: the volume shrinks by 3.3 %."),
        Example("1 L of 6 M sulfuric acid from 96 % density 1.84", "fired",
                "333 mL of the sulfuric acid and 728 mL of water together fill 1000 mL, not 1061 mL: the volume shrinks by 5.8 %."),
        Example("1 L of 1 M hydrochloric acid from 37 % density 1.18", "passed"),
        Example("100 mL of 50 % v/v acetone", "unchecked",
                "No density of acetone in water is held, so how far the volumes shrink was not worked out."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
