"""Slips of number and unit: millilitres for litres, powers of ten, percent as fraction, equivalents, early rounding."""

from collections.abc import Iterator

from rules.tables.equivalents import equivalents
from service.answers.facts import Facts
from service.answers.slip import Slip, Wrong
from service.planner.figures import round_figures


def litres_and_millilitres(facts: Facts) -> Iterator[Wrong]:
    """The volume was put in with the wrong one of mL and L."""
    if not facts.by_total and facts.kind != "amount":
        return
    in_litres = facts.total_unit == "L"
    said = (
        "The litres were put in as mL (a factor of 1000)."
        if in_litres
        else "The mL were put in as litres (a factor of 1000)."
    )
    power = facts.by_total or 1
    yield Wrong(facts.right * 1000.0 ** (-power if in_litres else power), said)
    yield Wrong(
        facts.right * 1000.0 ** (power if in_litres else -power),
        "A factor of 1000 between mL and L went in the wrong way.",
    )


def volume_left_out(facts: Facts) -> Iterator[Wrong]:
    """The amount for one litre was given for the volume asked for (or the moles for the molarity)."""
    if not facts.total or not facts.by_total or (facts.bottle is not None and facts.kind == "strength"):
        return
    litres = facts.total / 1000
    if facts.kind == "strength" and not facts.ratio:
        yield Wrong(
            facts.right * litres, "The volume was left out: that is the amount itself, not the amount in one litre."
        )
    elif facts.kind != "strength":
        yield Wrong(facts.right / litres, f"That is the amount for one litre, not for {facts.total:g} mL.")


def one_portion(facts: Facts) -> Iterator[Wrong]:
    """The amount for one person was given for all of them."""
    if facts.portions > 1 and facts.kind != "strength":
        yield Wrong(facts.right / facts.portions, f"That is the amount for one portion, not for all {facts.portions}.")


def volume_wrong_way(facts: Facts) -> Iterator[Wrong]:
    """Divided by the volume where it is multiplied, or the reverse."""
    if facts.total and facts.by_total and not facts.ratio:
        litres = facts.total / 1000
        done = (
            "divided by the volume instead of multiplied"
            if facts.by_total > 0
            else "multiplied by the volume instead of divided"
        )
        yield Wrong(facts.right * litres ** (-2 * facts.by_total), f"It was {done}.")


def factor_of_ten(facts: Facts) -> Iterator[Wrong]:
    """The decimal point stands one or two places off."""
    for factor, said in (
        (10.0, "ten times too much"),
        (0.1, "a tenth of it"),
        (100.0, "a hundred times too much"),
        (0.01, "a hundredth of it"),
    ):
        yield Wrong(facts.right * factor, f"The decimal point slipped: that is {said}.")


def percent_as_fraction(facts: Facts) -> Iterator[Wrong]:
    """37 % was put in as 37, or as 0.37 where the formula has the factor already."""
    if facts.percent or facts.bottle is not None:
        for factor in (100.0, 0.01):
            yield Wrong(facts.right * factor, "A percentage was put in as a plain number, or divided by 100 twice.")
    if facts.by_assay:
        value = facts.right * facts.assay**-facts.by_assay * (100 * facts.assay) ** facts.by_assay
        yield Wrong(value, f"The purity was put in as {facts.assay * 100:g} instead of {facts.assay:g}.")


def equivalents_forgotten(facts: Facts) -> Iterator[Wrong]:
    """A normality was taken as a molarity."""
    if facts.reaction_known and facts.by_equivalents:
        for each in _per_mole(facts):
            said = f"The {each} equivalents in a mole were left out: normality was taken as molarity."
            yield Wrong(facts.right * float(each) ** -facts.by_equivalents, said)


def equivalents_twice(facts: Facts) -> Iterator[Wrong]:
    """The equivalents were used twice, or used on a molarity that needs none."""
    if facts.by_equivalents:
        for each in _per_mole(facts):
            said = (
                f"The {each} equivalents in a mole were used twice."
                if facts.reaction_known
                else f"The molarity was treated as a normality ({each} equivalents in a mole)."
            )
            yield Wrong(facts.right * float(each) ** facts.by_equivalents, said)


def _per_mole(facts: Facts) -> tuple[int, ...]:
    return tuple(dict.fromkeys(row.per_mole for row in equivalents(facts.slug) if row.per_mole > 1))


def rounded_early(facts: Facts) -> Iterator[Wrong]:
    """An intermediate value was rounded to one or two figures and the sum went on from there."""
    if facts.kind in ("mass", "strength") and facts.moles and facts.molar and facts.by_molar_mass:
        for figures in (1, 2):
            rounded = float(round_figures(facts.moles, figures))
            said = f"The moles ({facts.moles:.4g}) were rounded to {rounded:g} before the sum was finished."
            yield Wrong(facts.right * rounded / facts.moles, said)
            mass = float(round_figures(facts.molar, figures))
            said = f"The molar mass ({facts.molar:.2f} g/mol) was rounded to {mass:g} before the sum was finished."
            yield Wrong(facts.right * (mass / facts.molar) ** facts.by_molar_mass, said)
    if facts.kind == "volume" and facts.stock_mol_L and facts.bottle is not None:
        for figures in (1, 2):
            stock = float(round_figures(facts.stock_mol_L, figures))
            said = f"The strength of the bottle ({facts.stock_mol_L:.4g} mol/L) was rounded to {stock:g} before the sum was finished."
            yield Wrong(facts.right * facts.stock_mol_L / stock, said)


SLIPS = (
    Slip("millilitres-as-litres", "mL and L mixed up", litres_and_millilitres),
    Slip("volume-left-out", "for one litre instead of the volume asked for", volume_left_out),
    Slip("one-portion-only", "for one portion instead of all", one_portion),
    Slip("volume-wrong-way", "volume the wrong way", volume_wrong_way),
    Slip("power-of-ten", "decimal point", factor_of_ten),
    Slip("percent-as-number", "percent put in as a plain number", percent_as_fraction),
    Slip("equivalents-forgotten", "equivalents left out", equivalents_forgotten),
    Slip("equivalents-twice", "equivalents used twice", equivalents_twice),
    Slip("rounded-too-early", "rounded too early", rounded_early),
)
