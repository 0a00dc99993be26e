"""Strengths counted as an element or an ion: "100 mg/L as Cu", "1000 ppm nitrate from potassium nitrate"."""

import re
from dataclasses import replace
from functools import lru_cache

from grammar.formula import composition
from grammar.request import Component, Named
from grammar.units import UNITS
from rules.plan import Ingredient
from rules.tables.behaviour import behaviours
from rules.tables.elements import element
from rules.tables.load import cite
from rules.tables.masses import molar_mass
from rules.tables.solubility import Solubility, solubility
from rules.tables.substances import Form, Substance, all_substances
from service.planner.matching import matches
from service.planner.resolve import Resolved

#: Ions a strength may be counted by, with the text that stands for one of them in a formula.
IONS = {
    "chloride": "Cl",
    "bromide": "Br",
    "iodide": "I",
    "fluoride": "F",
    "nitrate": "NO3",
    "nitrite": "NO2",
    "sulfate": "SO4",
    "sulphate": "SO4",
    "phosphate": "PO4",
    "carbonate": "CO3",
    "ammonium": "NH4",
    "ammonia": "NH3",
    "dichromate": "Cr2O7",
    "chromate": "CrO4",
    "thiocyanate": "SCN",
    "cyanide": "CN",
    "nitrogen": "N",
    "calcium carbonate": "CaCO3",
}
#: What the strength of a stock counts where it is that of the salt it is named as.
ITSELF = "the salt itself"
#: Water dissolves at least this much of a salt offered as the source of an element, g per 100 g.
LEAST_SOLUBLE = 1.0
MOST_OFFERED = 6


def basis_formula(word: str) -> str | None:
    """The formula of an element or ion by name or symbol: "Fe" of "iron", "NO3" of "nitrate"; None for anything else."""
    bare = word.strip()
    ion = IONS.get(bare.lower())
    if ion is not None:
        return ion
    charged = re.sub(r"[\s^]*\d*[+\-−⁺⁻]+$|[²³]?[⁺⁻]$", "", bare)
    if charged in IONS.values():
        return charged
    found = element(bare)
    return found.symbol if found else None


def grams_of_basis(item: Ingredient, basis: str) -> float | None:
    """Grams of ``basis`` ("Cu", "nitrate") in one mole of the substance; None where it holds none of it."""
    formula = basis_formula(basis)
    if not item.substance.formula:
        return None
    if formula is None:
        # "as CuSO4": the salt itself, without its water.
        same = any(
            m.substance.slug == item.substance.slug for m in matches(Named(formula=basis)) + matches(Named(name=basis))
        )
        return item.substance.molar_mass if same else None
    count = units_of(formula, item.substance.formula)
    return count * molar_mass(formula)[0] if count else None


@lru_cache(maxsize=1024)
def units_of(part: str, whole: str) -> float:
    """How many of an element or ion a formula holds: 2 of "NO3" in "Pb(NO3)2", 2 of "N" in "NH4NO3"."""
    if part == "CaCO3":
        return _as_calcium_carbonate(whole)
    if len(composition(part)) == 1 and sum(composition(part).values()) == 1:
        return composition(whole).get(part, 0.0)
    bracketed = re.findall(rf"\({part}\)(\d*)", whole)
    if bracketed:
        return float(sum(int(n or 1) for n in bracketed))
    return 1.0 if re.search(rf"{part}(?![a-z0-9])", whole) else 0.0


def _as_calcium_carbonate(whole: str) -> float:
    """Moles of CaCO3 a formula unit stands for: as hardness by its calcium and magnesium, else as alkalinity by its carbonate.

    Alkalinity counts equivalents, two to a CaCO3, so a hydrogen carbonate counts half (Standard Methods 2320 convention, from memory).
    """
    hardness = composition(whole).get("Ca", 0.0) + composition(whole).get("Mg", 0.0)
    if hardness:
        return hardness
    return units_of("HCO3", whole) / 2 or units_of("CO3", whole)


def count_by_element(component: Component) -> Component:
    """ "100 mg/L copper from copper sulfate": the salt becomes the solute, and the strength counts the copper."""
    component = _counted_beside_formula(component)
    source, strength = component.source, component.strength
    named = source.named if source else None
    if strength is None or named is None or not (named.name or named.formula or named.cas):
        return component
    word = component.solute.name or component.solute.formula or ""
    if basis_formula(word) is None or strength.unit in ("% v/v",):
        return component
    if strength.of and basis_formula(strength.of) is None:
        return component
    if basis_formula(named.name or named.formula or "") == basis_formula(word):
        # "200 ppm potassium from 1000 ppm K": one element, by its name and by its symbol.
        return replace(component, source=replace(source, named=None)) if source is not None else component
    assert source is not None
    stock = source.strength
    if stock is not None and not stock.of:
        # "10 ppm Ba from 0.2 % barium chloride": the stock counts the salt it is named as.
        stock = replace(stock, of=ITSELF)
    left = replace(source, named=None, strength=stock)
    emptied = left.strength is None and left.purity is None and left.density is None and left.kind in (None, "solid")
    return replace(
        component, solute=named, strength=replace(strength, of=strength.of or word), source=None if emptied else left
    )


def _counted_beside_formula(component: Component) -> Component:
    """ "500 ppm calcium (CaCO3)": an element or ion by name beside the formula of a salt that holds it is what is counted."""
    named, strength = component.solute, component.strength
    if strength is None or strength.of or not named.name or not named.formula:
        return component
    own = basis_formula(named.name)
    by_mass = UNITS[strength.unit].dimension in ("mass per volume", "parts")
    if own is None or not by_mass or basis_formula(named.formula) is not None or not units_of(own, named.formula):
        return component
    return replace(component, solute=replace(named, name=""), strength=replace(strength, of=named.name))


def salts_of(symbol: str) -> list[tuple[Substance, Form]]:
    """Water-soluble salts sold that hold the element or ion, primary standards first: what a standard of it is made from."""
    found: list[tuple[bool, float, Substance]] = []
    for kind in all_substances():
        if kind.family not in ("salt", "acid") or not kind.formula or not units_of(symbol, kind.formula):
            continue
        held = solubility(kind.slug, 20.0)
        if isinstance(held, Solubility) and held.g_anhydrous_per_100g_water >= LEAST_SOLUBLE and kind.molar_mass:
            share = units_of(symbol, kind.formula) * molar_mass(symbol)[0] / kind.molar_mass
            found.append(("primary-standard" not in behaviours(kind.slug), -share, kind))
    chosen = [kind for _, _, kind in sorted(found, key=lambda row: row[:2])][:MOST_OFFERED]
    return [(kind, form) for kind in chosen for form in kind.sold_forms if form.molar_mass and form.water != "x"]


def as_salt(component: Component, symbol: str, kind: Substance, form: Form) -> Component:
    """The component with the salt as its solute and the element as the basis of the strength."""
    assert component.strength is not None
    water = form.water if form.label not in ("pure", "solution") else None
    return replace(
        component,
        solute=Named(name=kind.name, water=water, as_typed=f"{kind.name} {form.label}"),
        strength=replace(component.strength, of=symbol),
    )


def ion_standard(named: Named) -> Resolved | None:
    """A standard of an ion or element no bottle of which is listed ("100 mg/L phosphate"): diluted by ratio, with no data held."""
    word = named.name or named.formula or ""
    formula = basis_formula(word)
    if formula is None:
        return None
    unknown = cite(
        "practice", "a standard solution bought or made elsewhere: what else is in it stands on its certificate"
    )
    slug = f"ion-{formula.lower()}"
    form = Form(
        f"{slug}/solution", slug, "solution", "0", formula, "", "solution", True, False, *molar_mass(formula), unknown
    )
    kind = Substance(slug, f"{word} standard", formula, "mixture", (form,), *molar_mass(formula), unknown)
    return Resolved(
        kind,
        form,
        form,
        f"Nothing is held on what else the {word} standard contains: follow its certificate and safety data sheet.",
    )
