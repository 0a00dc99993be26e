"""What a wrong number is computed from: the right amount, how it depends on each thing, and the plan's own values."""

from dataclasses import dataclass, replace
from typing import Literal

from grammar.request import Check, Prepare, Quantity
from grammar.units import UNITS
from rules.plan import DraftPlan, Ingredient
from rules.tables.substances import Form
from service.answers.settled import settle
from service.answers.terms import base
from service.bench import Bench
from service.planner.strength import strength_of

Kind = Literal["mass", "volume", "amount", "strength"]


@dataclass(frozen=True, slots=True)
class Facts:
    """``right`` in the base unit of the claim (g, mL, mol, mol/L, g/L, %). Each ``by_*`` is the power with which it
    grows: a mass grows with the molar mass (1), a strength made from a mass falls with it (-1).

    ``total`` is the final volume in mL, ``pure`` the grams of pure solute, ``ratio`` final volume over volume of stock
    (0 where nothing is diluted), ``bottle`` (mass fraction, density) of a reagent, ``assay`` the mass fraction of a solid.
    ``total_mass`` is the final mass in g where a percentage by mass is of it, ``portions`` how many are made.
    """

    kind: Kind
    right: float
    by_molar_mass: int = 0
    by_total: int = 0
    by_assay: int = 0
    by_equivalents: int = 0
    form: Form | None = None
    forms: tuple[Form, ...] = ()
    dry_mass: float | None = None
    formula: str = ""
    name: str = ""
    moles: float | None = None
    weighed: float | None = None
    total: float | None = None
    total_unit: str = ""
    total_mass: float = 0.0
    portions: int = 0
    assay: float = 1.0
    ratio: float = 0.0
    bottle: tuple[float, float] | None = None
    slug: str = ""
    reaction_known: bool = False
    percent: bool = False
    density: float | None = None
    basis: float = 0.0
    stock_mol_L: float | None = None
    target_mol_L: float | None = None

    @property
    def molar(self) -> float | None:
        """Molar mass of what is measured, g/mol."""
        return self.form.molar_mass if self.form is not None else None


_MOLAR = ("mol/L", "mol/kg", "eq/L", "volumes")


def of_plan(plan: DraftPlan, item: Ingredient, kind: str, right: float) -> Facts:
    """The facts of a claimed mass, volume or amount, from the plan that was made for the request."""
    typed = item.component.strength
    family = strength_of(typed).family if typed is not None else ""
    request = plan.request
    total = request.total if isinstance(request, Prepare) else None
    facts = Facts(
        "mass" if kind == "mass" else "volume" if kind == "volume" else "amount",
        right,
        by_total=1,
        form=item.form,
        forms=item.substance.forms,
        dry_mass=item.substance.molar_mass,
        formula=item.substance.formula,
        name=item.substance.name,
        moles=item.moles,
        total=plan.total_mL,
        total_unit=total.unit if total is not None else "",
        slug=item.substance.slug,
        reaction_known=family == "eq/L",
        by_equivalents=-1 if family in ("eq/L", "mol/L") else 0,
        percent=bool(typed and typed.unit.startswith("%")),
        total_mass=base(total) if family == "w/w" and total is not None and UNITS[total.unit].dimension == "mass" else 0.0,
        portions=request.portions.count if isinstance(request, Prepare) and request.portions is not None else 0,
        density=plan.solution.density if family == "w/w" and plan.total_mL else None,
        basis=item.basis_g_per_mol,
        target_mol_L=item.target_mol_L,
    )
    if kind == "amount":
        return facts
    if item.volume_mL is None:
        other = item.basis_g_per_mol or item.form.key != item.counted.key
        return replace(
            facts,
            by_molar_mass=1 if family in _MOLAR or other else 0,
            by_assay=-1 if item.purity != 1 else 0,
            assay=item.purity,
        )
    assert plan.total_mL is not None
    reagent = item.stock_mass_pct is not None and item.stock_density is not None and item.kind != "stock"
    bottle = (
        (item.stock_mass_pct / 100, item.stock_density)
        if reagent and item.stock_mass_pct and item.stock_density
        else None
    )
    return replace(
        facts,
        by_molar_mass=1 if bottle and family in _MOLAR else 0,
        ratio=plan.total_mL / item.volume_mL,
        bottle=bottle,
        stock_mol_L=item.stock_mol_L,
        by_equivalents=-1 if family == "eq/L" or bottle else 0,
    )


def of_strength(asked: Check, topic: str, right: float, bench: Bench) -> Facts:
    """The facts of a claimed strength."""
    component, total, claimed = asked.request.components[0], asked.request.total, asked.claimed
    settled = settle(asked.request, bench)
    item = settled[1] if isinstance(settled, tuple) else None
    per_mole = UNITS[claimed.unit].dimension in ("molar", "normal", "molal")
    facts = Facts("strength", right, total_unit=total.unit if total is not None else "")
    if item is not None:
        facts = replace(
            facts,
            form=item.form,
            forms=item.substance.forms,
            dry_mass=item.substance.molar_mass,
            formula=item.substance.formula,
            name=item.substance.name,
            slug=item.substance.slug,
            by_equivalents=1 if UNITS[claimed.unit].dimension == "normal" else 0,
            reaction_known=UNITS[claimed.unit].dimension == "normal",
        )
    if topic == "strength-made" and component.mass is not None and total is not None and item is not None:
        grams = base(component.mass) * item.purity
        return replace(
            facts,
            by_molar_mass=-1 if per_mole else 0,
            by_total=-1,
            by_assay=1 if item.purity != 1 else 0,
            assay=item.purity,
            moles=grams / item.form.molar_mass if item.form.molar_mass else None,
            weighed=grams,
            total=base(total) if UNITS[total.unit].dimension == "volume" else None,
        )
    if topic == "strength-diluted" and component.source and component.source.volume and total is not None:
        return replace(
            facts, by_total=-1, ratio=base(total) / base(component.source.volume), total=base(total), form=None
        )
    if topic == "strength-of-reagent" and item is not None:
        bottle = _bottle(component.strength, right, item) if UNITS[claimed.unit].dimension == "molar" else None
        return replace(facts, by_molar_mass=-1 if per_mole else 0, bottle=bottle)
    molar_given = component.strength is not None and UNITS[component.strength.unit].dimension == "molar"
    return replace(facts, by_molar_mass=(-1 if per_mole else 1) if per_mole != molar_given else 0)


def _bottle(percent: Quantity | None, right: float, item: Ingredient) -> tuple[float, float] | None:
    """(mass fraction, density) of a reagent whose mol/L is ``right``."""
    if percent is None or not item.counted.molar_mass:
        return None
    fraction = float(percent.value) / 100
    return fraction, right * item.counted.molar_mass / (1000 * fraction)
