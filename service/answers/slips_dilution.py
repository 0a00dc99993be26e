"""Slips of diluting: ratio counted wrongly, stock and target swapped, density or percentage of the reagent left out."""

from collections.abc import Iterator

from service.answers.facts import Facts
from service.answers.slip import Slip, Wrong


def ratio_as_parts(facts: Facts) -> Iterator[Wrong]:
    """1:10 (one in ten) was done as 1+10 (one and ten)."""
    if facts.ratio > 1:
        said = f"One part in {facts.ratio:.4g} was taken as one part and {facts.ratio:.4g} more (1+{facts.ratio:.4g})."
        yield Wrong(facts.right * facts.ratio / (facts.ratio + 1), said)


def parts_as_ratio(facts: Facts) -> Iterator[Wrong]:
    """1+9 where the volume was meant in all: the total was left one part short."""
    if facts.ratio > 1:
        said = f"One part and {facts.ratio - 1:.4g} more was taken as one part in {facts.ratio - 1:.4g}."
        yield Wrong(facts.right * facts.ratio / (facts.ratio - 1), said)


def solvent_for_solution(facts: Facts) -> Iterator[Wrong]:
    """The volume asked for was taken as that of the water added, not of the solution."""
    if facts.ratio > 1 and facts.kind == "volume" and facts.total:
        said = f"{facts.total:g} mL was taken as the volume of the water; it is the volume of the finished solution."
        yield Wrong(facts.right * facts.ratio / (facts.ratio - 1), said)
    elif facts.ratio > 1 and facts.kind == "strength":
        said = "The stock was added to the full volume of water; the total is the volume of the finished solution."
        yield Wrong(facts.right * facts.ratio / (facts.ratio + 1), said)
    elif facts.kind == "mass" and facts.total_mass > facts.right:
        said = "The percentage was taken of the solvent; it is of the finished solution (% w/w)."
        yield Wrong(facts.right * facts.total_mass / (facts.total_mass - facts.right), said)


def water_for_stock(facts: Facts) -> Iterator[Wrong]:
    """The volume of water was given for that of the stock."""
    if facts.ratio > 1 and facts.kind == "volume" and facts.total:
        said = f"{facts.total - facts.right:.4g} mL is the water that fills up to {facts.total:g} mL, not the stock."
        yield Wrong(facts.total - facts.right, said)


def swapped(facts: Facts) -> Iterator[Wrong]:
    """Stock and target strength (or the two volumes) were put into the formula the wrong way round."""
    if facts.ratio > 1:
        said = (
            "The strengths of stock and target were swapped."
            if facts.kind == "volume"
            else "The two volumes were swapped."
        )
        yield Wrong(facts.right * facts.ratio**2, said)


def density_left_out(facts: Facts) -> Iterator[Wrong]:
    """Percent by mass was used as grams in 100 mL: the density was taken as 1."""
    if facts.bottle is not None:
        _, density = facts.bottle
        said = f"The density ({density:.4g} g/mL) was left out: % w/w was used as % w/v."
        yield Wrong(facts.right * density if facts.kind == "volume" else facts.right / density, said)
    elif facts.density is not None and facts.kind == "mass":
        said = f"The density ({facts.density:.4g} g/mL) was left out: % w/w was taken as % w/v."
        yield Wrong(facts.right / facts.density, said)


def density_wrong_way(facts: Facts) -> Iterator[Wrong]:
    """Multiplied by the density where it is divided by, or the reverse."""
    if facts.bottle is not None:
        _, density = facts.bottle
        said = f"The density ({density:.4g} g/mL) was used the wrong way: multiplied with where it is divided by, or the reverse."
        yield Wrong(facts.right * density**2 if facts.kind == "volume" else facts.right / density**2, said)


def percent_left_out(facts: Facts) -> Iterator[Wrong]:
    """The reagent was taken as pure."""
    if facts.bottle is not None:
        fraction, _ = facts.bottle
        said = f"The {fraction * 100:g} % of the bottle was left out, as if it were pure."
        yield Wrong(facts.right * fraction if facts.kind in ("volume", "mass") else facts.right / fraction, said)


def grams_as_millilitres(facts: Facts) -> Iterator[Wrong]:
    """The mass of pure solute was poured as that many millilitres."""
    if facts.bottle is not None and facts.kind == "volume":
        fraction, density = facts.bottle
        said = "The grams of pure solute were given as mL: divide by the percentage and the density of the bottle."
        yield Wrong(facts.right * fraction * density, said)


SLIPS = (
    Slip("ratio-as-parts", "1:10 done as 1+10", ratio_as_parts),
    Slip("parts-as-ratio", "1+9 done as 1:9", parts_as_ratio),
    Slip("solvent-for-solution", "volume of solvent instead of solution", solvent_for_solution),
    Slip("water-for-stock", "volume of water given for the stock", water_for_stock),
    Slip("stock-and-target-swapped", "stock and target swapped", swapped),
    Slip("density-ignored", "density left out", density_left_out),
    Slip("density-wrong-way", "density the wrong way", density_wrong_way),
    Slip("percent-ignored", "percentage of the bottle left out", percent_left_out),
    Slip("grams-as-millilitres", "grams of solute poured as mL", grams_as_millilitres),
)
