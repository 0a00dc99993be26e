"""Slips of the molar mass: water of crystallisation, another form, one ion only, moles for grams, the assay."""

from collections.abc import Iterator

from grammar.formula import composition
from rules.tables.masses import molar_mass
from rules.tables.substances import Form
from service.answers.facts import Facts
from service.answers.slip import Slip, Wrong
from service.planner.basis import IONS, units_of

WATER = molar_mass("H2O")[0]
#: Elements that stand for nothing alone in a formula mass somebody might take by mistake.
_POLYATOMIC = tuple(ion for ion in dict.fromkeys(IONS.values()) if len(composition(ion)) > 1 and ion != "CaCO3")
_NOT_ALONE = frozenset(("H", "O", "C", "N", "S", "P"))


def _with_mass(facts: Facts, wrong_mass: float) -> float:
    """The number that the wrong molar mass gives."""
    assert facts.molar is not None
    ratio = wrong_mass / facts.molar
    return facts.right * (ratio if facts.by_molar_mass > 0 else 1 / ratio)


def _used(facts: Facts, wrong_mass: float) -> str:
    return f"{wrong_mass:.2f} g/mol was used instead of {facts.molar:.2f} g/mol"


def _hydrated(facts: Facts) -> bool:
    return bool(facts.by_molar_mass and facts.molar and facts.dry_mass and facts.molar > facts.dry_mass * 1.001)


def water_forgotten(facts: Facts) -> Iterator[Wrong]:
    """The anhydrous molar mass was used for the hydrate that is in the bottle."""
    if _hydrated(facts) and facts.dry_mass and facts.molar and facts.form:
        said = f"The water of crystallisation in {facts.form.formula} was forgotten: {_used(facts, facts.dry_mass)}."
        yield Wrong(_with_mass(facts, facts.dry_mass), said)


def water_twice(facts: Facts) -> Iterator[Wrong]:
    """The water was added to a molar mass that already held it."""
    if _hydrated(facts) and facts.dry_mass and facts.molar and facts.form:
        twice = 2 * facts.molar - facts.dry_mass
        said = f"The water of crystallisation was added twice: {_used(facts, twice)}."
        yield Wrong(_with_mass(facts, twice), said)


def one_water(facts: Facts) -> Iterator[Wrong]:
    """ ".5H2O" was counted as one water."""
    if _hydrated(facts) and facts.dry_mass and facts.form and facts.form.water not in ("1", "0.5"):
        said = f"Only one water was counted in {facts.form.formula}: {_used(facts, facts.dry_mass + WATER)}."
        yield Wrong(_with_mass(facts, facts.dry_mass + WATER), said)


def _other_forms(facts: Facts) -> Iterator[Form]:
    for form in facts.forms:
        if form.molar_mass and facts.form and form.key != facts.form.key:
            yield form


def wrong_hydrate(facts: Facts) -> Iterator[Wrong]:
    """The molar mass of another hydrate, or of a hydrate where the anhydrous form is measured, was used."""
    for form in _other_forms(facts):
        if facts.by_molar_mass and form.molar_mass and facts.molar and form.water not in ("0", "x") and facts.form:
            said = f"The {form.label}, {form.formula}, was taken; {facts.form.formula} is measured here: {_used(facts, form.molar_mass)}."
            yield Wrong(_with_mass(facts, form.molar_mass), said)


def part_of_formula(facts: Facts) -> Iterator[Wrong]:
    """The formula mass of an element or ion was used for that of the compound."""
    if not (facts.by_molar_mass and facts.molar and facts.formula):
        return
    atoms = composition(facts.formula)
    parts: dict[str, float] = {}
    if len(atoms) > 1:
        parts |= {symbol: float(n) for symbol, n in atoms.items() if symbol not in _NOT_ALONE}
    parts |= {ion: units_of(ion, facts.formula) for ion in _POLYATOMIC}
    for part, count in parts.items():
        for many in {1.0, count} - {0.0} if count else ():
            used = many * molar_mass(part)[0]
            said = (
                f"The formula mass of {f'{many:g} ' if many != 1 else ''}{part} alone was taken: {_used(facts, used)}."
            )
            yield Wrong(_with_mass(facts, used), said)


def index_left_out(facts: Facts) -> Iterator[Wrong]:
    """A small number in the formula was not used: one Na counted in Na2CO3, one Cl in CaCl2."""
    if not (facts.by_molar_mass and facts.molar and facts.formula):
        return
    for symbol, count in composition(facts.formula).items():
        if count > 1 and symbol not in _NOT_ALONE:
            used = facts.molar - (float(count) - 1) * molar_mass(symbol)[0]
            if used > 0:
                said = f"Only one {symbol} was counted of the {count:g} in {facts.formula}: {_used(facts, used)}."
                yield Wrong(_with_mass(facts, used), said)


def moles_as_grams(facts: Facts) -> Iterator[Wrong]:
    """The number of moles was given as the mass, or the mass taken for moles."""
    if facts.moles and facts.kind == "mass":
        yield Wrong(
            facts.moles,
            f"{facts.moles:.4g} is the number of moles; it was given as grams without multiplying by the molar mass.",
        )
    elif facts.kind == "strength" and facts.weighed and facts.total and facts.by_molar_mass:
        said = "The grams were divided by the volume as if they were moles; divide by the molar mass first."
        yield Wrong(facts.weighed / facts.total * 1000, said)


def molar_mass_inverted(facts: Facts) -> Iterator[Wrong]:
    """Divided by the molar mass where it is multiplied, or the other way round."""
    if facts.by_molar_mass and facts.molar:
        upside_down = "divided by" if facts.by_molar_mass > 0 else "multiplied with"
        said = f"It was {upside_down} the molar mass ({facts.molar:.2f} g/mol) instead of the other way round."
        yield Wrong(facts.right / facts.molar ** (2 * facts.by_molar_mass), said)


def assay_forgotten(facts: Facts) -> Iterator[Wrong]:
    """The assay was not used at all."""
    if facts.by_assay:
        said = f"The purity ({facts.assay * 100:g} %) was left out."
        yield Wrong(facts.right * facts.assay**-facts.by_assay, said)


def assay_wrong_way(facts: Facts) -> Iterator[Wrong]:
    """Multiplied by the purity instead of divided (or the reverse for a strength)."""
    if facts.by_assay:
        done = (
            "multiplied by the purity instead of divided by it"
            if facts.by_assay < 0
            else "divided by the purity instead of multiplied by it"
        )
        yield Wrong(facts.right * facts.assay ** (-2 * facts.by_assay), f"It was {done} ({facts.assay * 100:g} %).")


def basis_ignored(facts: Facts) -> Iterator[Wrong]:
    """A strength counted as an element was taken as that of the salt."""
    if facts.basis and facts.kind == "mass" and facts.molar:
        said = "The strength counts the element or ion; it was taken as the mass of the whole compound."
        yield Wrong(facts.right * facts.basis / facts.molar, said)


SLIPS = (
    Slip("water-forgotten", "water of crystallisation forgotten", water_forgotten),
    Slip("water-twice", "water of crystallisation added twice", water_twice),
    Slip("one-water-counted", "only one water counted", one_water),
    Slip("wrong-hydrate", "another hydrate", wrong_hydrate),
    Slip("part-of-formula", "formula mass of an element or ion", part_of_formula),
    Slip("index-left-out", "small number in the formula left out", index_left_out),
    Slip("moles-as-grams", "moles given as grams", moles_as_grams),
    Slip("molar-mass-inverted", "molar mass the wrong way up", molar_mass_inverted),
    Slip("purity-forgotten", "purity left out", assay_forgotten),
    Slip("purity-wrong-way", "purity used the wrong way", assay_wrong_way),
    Slip("basis-ignored", "basis of the strength ignored", basis_ignored),
)
