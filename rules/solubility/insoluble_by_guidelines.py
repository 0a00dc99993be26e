"""Refuses, where no solubility is held, a compound of a class that does not dissolve in water."""

import re
from collections.abc import Iterable
from functools import lru_cache

from grammar.formula import composition
from rules.dissolving import in_water, saturation
from rules.plan import DraftPlan, Ingredient
from rules.reading import IN_ACID, dissolved_in_acid
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.tables.load import cite

_DISSOLVING = frozenset({"Li", "Na", "K", "Rb", "Cs"})
_METALS = frozenset("Mg Al Si Ti V Cr Mn Fe Co Ni Cu Zn Zr Mo Ag Cd Sn Sb La Ce W Hg Pb Bi".split())  # noqa: SIM905
_ENDINGS = (
    (re.compile(r"CO3(\(OH\)\d?)?$"), "carbonates"),
    (re.compile(r"(?<!H)PO4$|\(PO4\)\d$"), "phosphates"),
    (re.compile(r"\(OH\)\d$"), "hydroxides"),
)


def gather(plan: DraftPlan) -> list[tuple[Ingredient, str]] | None:
    if not in_water(plan):
        return None
    return [
        (item, kind)
        for item in plan.ingredients
        if item.kind == "solid"
        and item.substance.formula
        and (kind := insoluble_class(item.substance.slug, item.substance.formula))
    ] or None


@lru_cache(maxsize=1024)
def insoluble_class(slug: str, formula: str) -> str:
    """The class ("oxides") by which a compound counts as insoluble; "" where it does not, or where a solubility is held."""
    if saturation(slug, 20.0) is not None:
        return ""
    try:
        elements = set(composition(formula))
    except ValueError:
        return ""
    if elements & _DISSOLVING or "NH4" in formula or not elements & _METALS:
        return ""
    rest = elements - _METALS
    if rest in ({"O"}, {"S"}):
        return "oxides" if rest == {"O"} and "CrO3" not in formula else "sulfides" if rest == {"S"} else ""
    if rest == {"I"} and elements & {"Ag", "Pb", "Hg"}:
        return "iodides of silver, lead and mercury"
    return next((kind for ending, kind in _ENDINGS if ending.search(formula)), "")


def check(plan: DraftPlan, found: list[tuple[Ingredient, str]]) -> Iterable[Hit]:
    for item, kind in found:
        if acid := dissolved_in_acid(plan, item):
            said = f"{sentence(item.substance.name)} does not dissolve in water; it is brought into solution with acid: {acid}."
            yield Hit(said, IN_ACID, "caution")
            continue
        yield Hit(
            sentence(
                f"{item.substance.name} does not dissolve in water: of the {kind}, only those of the alkali metals and a few others do."
            )
            if not kind.startswith("iodides")
            else sentence(f"{item.substance.name} does not dissolve in water, like the {kind}.")
        )


RULE = Rule(
    id="insoluble-by-guidelines",
    group="solubility",
    title="The compound is not of an insoluble class",
    severity="stop",
    applies_to="oxides, sulfides, carbonates, phosphates and hydroxides of metals without a tabulated solubility",
    citation=(cite("openstax-chem2e", "section 4.2, solubility guidelines"),),
    rationale="A missing row in a table must not let a powder be planned as a solution.",
    remedy="Ask for a soluble salt of the metal, or for a suspension of a stated mass in a volume.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.1 M copper(II) oxide 250 mL",
            "fired",
            "Copper(II) oxide does not dissolve in water: of the oxides, only those of the alkali metals and "
            "a few others do.",
        ),
        Example("0.1 M copper sulfate pentahydrate 250 mL", "not_applicable"),
    ),
)
