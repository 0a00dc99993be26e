"""Carries the assay range of the concentrated reagent through to the strength made."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import must_be_exact
from rules.rule import Example, Hit, Rule, Unchecked
from rules.saying import figures
from rules.signs import only_where
from rules.tables.concentrated import density_for
from rules.tables.load import cite

#: A narrower range does not show in the strength. Relative.
LEAST_SPREAD = 0.005


@only_where("reagent")
def gather(plan: DraftPlan) -> list[Ingredient] | Unchecked | None:
    found = [item for item in plan.ingredients if item.reagent is not None and item.kind != "stock"]
    without = next(
        (item for item in found if item.reagent and (item.reagent.low is None or item.reagent.high is None)), None
    )
    if without is not None:
        return Unchecked(
            f"No assay limits are held for this {without.substance.name}, so how far its strength ranges was not checked."
        )
    return found or None


def check(plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    for item in found:
        held, molar = item.reagent, item.target_mol_L
        if held is None or held.low is None or held.high is None or molar is None or held.low == held.high:
            continue
        middle = held.mass_percent * held.density_g_per_mL
        low, high = (
            percent * _density(held.slug, percent, held.density_g_per_mL) / middle for percent in (held.low, held.high)
        )
        if high / low - 1 < LEAST_SPREAD:
            continue
        yield Hit(
            f"The bottle may hold {held.low:g} to {held.high:g} %, so the solution comes out at {figures(molar * low)} to "
            f"{figures(molar * high)} mol/L.",
            severity="caution" if must_be_exact(plan) else "note",
            cites=(held.cite,),
        )


def _density(slug: str, percent: float, otherwise: float) -> float:
    known = density_for(slug, percent)
    return known.value_g_per_mL if known else otherwise


RULE = Rule(
    id="reagent-assay-range",
    group="purity",
    title="The strength of the reagent is known to one value",
    severity="note",
    applies_to="solutions made from a concentrated reagent of tabulated strength",
    citation=(cite("acid-strength-chart", "assay limits"),),
    rationale="Commercial acids are sold within limits, so no volume of them gives an exact strength.",
    remedy="Call the strength nominal, or standardise the solution.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "1 L of 0.1 M HCl",
            "fired",
            "The bottle may hold 36.5 to 38 %, so the solution comes out at 0.0984 to 0.103 mol/L.",
        ),
        Example(
            "1 L of 0.1 M HCl from 32 % hydrochloric acid, density 1.159",
            "unchecked",
            "No assay limits are held for this hydrochloric acid, so how far its strength ranges was not checked.",
        ),
        Example("1 L of 0.1 M NaCl", "not_applicable"),
    ),
)
