"""The draft plan: everything the rules may look at, filled by the planner, judged by the rules.

Plain data, no behaviour beyond small look-ups. Fields that do not apply stay ``None``: a rule that needs
one returns "not applicable", or "unchecked" when the fact exists in the world but is not held here.
Units: mass g, volume mL, amount mol, concentration mol/L or g/L, mass fraction %, temperature degC.
"""

from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from grammar.request import Combine, Component, Misread, Prepare, Series
from rules.blends import PhSetting, Recipe, SeriesMade
from rules.classify import MadeHazards
from rules.policies import Policy
from rules.tables.concentrated import Reagent
from rules.tables.glassware import Glass
from rules.tables.handling import Storage, Waste
from rules.tables.lab import Balance, Lab
from rules.tables.load import Cite
from rules.tables.solubility import Miscible, Solubility
from rules.tables.substances import Form, Substance

Role: TypeAlias = Literal["solute", "stock", "solvent", "component"]
RouteKind: TypeAlias = Literal["weigh", "dilute", "stock_then_dilute", "serial", "blend"]


@dataclass(frozen=True, slots=True)
class Amount:
    """A number a person acts on: ``value`` unrounded in the fixed unit, ``display`` as the asker would read it."""

    value: float
    unit: str
    display: str


@dataclass(frozen=True, slots=True)
class Option:
    """One answer to a question: the request it leads to (``series`` where one was asked for), and what it would give."""

    id: str
    label: str
    request: Prepare
    effect: str = ""
    series: Series | None = None


@dataclass(frozen=True, slots=True)
class Open:
    """Something that must be settled before the plan holds: ``about`` names the rule's subject."""

    about: str
    text: str
    options: tuple[Option, ...] = ()
    remedy: str = ""


@dataclass(slots=True)
class Ingredient:
    """One solute, resolved: which substance, which form is measured, and how much of it.

    ``counted`` is the form whose mass a strength by mass counts, ``form`` the one that is measured;
    ``basis_g_per_mol`` the grams of the element or ion the strength counts ("as Cu") in one mole of the substance, 0
    where it counts the substance itself, and ``basis_per_mole`` how many of it are in one formula unit.
    ``stock_basis`` holds the same two figures for the strength of the stock; None where it counts as the strength does.
    ``ceiling_low_g_L`` to ``ceiling_g_L``
    is where saturation lies (grams without water of crystallisation per litre; equal where a density is fitted), and
    ``ceiling_mol_L`` the lower end in mol/L.
    ``target_*`` describe the finished solution; ``stock_*`` what is poured from; ``mass_g`` is what the
    balance should show (purity applied), ``volume_mL`` what is measured of a stock or liquid.
    """

    component: Component
    substance: Substance
    counted: Form
    form: Form
    kind: Literal["solid", "liquid", "stock", "concentrated"]
    basis_g_per_mol: float = 0.0
    basis_per_mole: float = 1.0
    stock_basis: tuple[float, float] | None = None
    moles: float | None = None
    target_mol_L: float | None = None
    target_g_L: float | None = None
    target_mass_fraction_pct: float | None = None
    purity: float = 1.0
    purity_stated: bool = False
    mass_g: float | None = None
    solute_mass_g: float | None = None
    volume_mL: float | None = None
    stock_mol_L: float | None = None
    stock_g_L: float | None = None
    stock_mass_pct: float | None = None
    stock_volume_pct: float | None = None
    stock_density: float | None = None
    reagent: Reagent | None = None
    reagent_stated: bool = False
    solubility: Solubility | Miscible | None = None
    ceiling_mol_L: float | None = None
    ceiling_g_L: float | None = None
    ceiling_low_g_L: float | None = None
    heat_kJ: float | None = None


@dataclass(frozen=True, slots=True)
class Window:
    """The amounts that truly keep the strength as asked; ``why`` says which limit set them."""

    low: float
    high: float
    why: str


@dataclass(slots=True)
class Measure:
    """One thing to weigh or pour. ``batch`` names the portion it belongs to when there are several."""

    what: str
    role: Role
    amount: Amount
    textbook: str | None = None
    low: Amount | None = None
    high: Amount | None = None
    using: str | None = None
    balance: Balance | None = None
    glass: Glass | None = None
    ingredient: Ingredient | None = None


@dataclass(slots=True)
class Vessel:
    """Where the volume is made: the glassware, how many of it, and what was asked for instead."""

    glass: Glass
    count: int = 1
    note: str = ""


@dataclass(slots=True)
class Batch:
    """One filling of one vessel: the volume and its share of each measured amount."""

    vessel: Vessel
    volume_mL: float


@dataclass(slots=True)
class RouteOption:
    """A way to make it that was considered: what it needs and how uncertain it is (relative, k = 1)."""

    kind: RouteKind
    summary: str
    u_rel: float
    transfers: int
    waste_mL: float
    minutes: float


@dataclass(slots=True)
class DilutionStep:
    """Take ``take_mL`` of the liquid before with ``pipette`` and make it up to ``into_mL`` in ``flask``."""

    take_mL: float
    pipette: Glass
    flask: Glass
    from_mol_L: float | None
    to_mol_L: float | None
    factor: float
    label_from: str
    label_to: str
    into_mL: float


@dataclass(slots=True)
class Route:
    """How it is made, why that way, and what else was considered."""

    kind: RouteKind
    why: str
    dilutions: list[DilutionStep] = field(default_factory=list)
    alternatives: list[RouteOption] = field(default_factory=list)
    direct_mass_g: float | None = None
    minimum_weight_g: float | None = None
    stock_flask: Glass | None = None


@dataclass(slots=True)
class Step:
    """One line of the bench card. ``action`` is a short verb slug such as ``weigh`` or ``fill-to-mark``."""

    action: str
    text: str
    caution: str | None = None


@dataclass(frozen=True, slots=True)
class BudgetLine:
    """One source of uncertainty: relative standard uncertainty and its share of the variance (0 to 1)."""

    source: str
    u_rel: float
    share: float


@dataclass(slots=True)
class Budget:
    """GUM budget of the concentration: combined relative uncertainty, expanded with coverage factor k."""

    u_rel: float
    k: float
    lines: tuple[BudgetLine, ...]


@dataclass(slots=True)
class SolutionProperties:
    """The made solution: density g/mL, mass fraction %, molality mol/kg, adiabatic rise K; None = not known."""

    density: float | None = None
    density_cite: Cite | None = None
    mass_fraction_pct: float | None = None
    molality: float | None = None
    temperature_rise: float | None = None
    density_assumed: bool = False


@dataclass(slots=True)
class DraftPlan:
    """One request worked out as far as it goes. ``opens`` or ``problem`` say why it stopped."""

    request: Prepare | Combine
    lab: Lab
    policy: Policy
    ingredients: list[Ingredient] = field(default_factory=list)
    combined: list[tuple[str, Substance]] = field(default_factory=list)
    opens: list[Open] = field(default_factory=list)
    problem: Misread | None = None
    total_mL: float | None = None
    total_g: float | None = None
    volume_figures: int = 3
    strength_figures: int = 3
    measures: list[Measure] = field(default_factory=list)
    route: Route | None = None
    batches: list[Batch] = field(default_factory=list)
    vessel: Vessel | None = None
    vessel_asked: str | None = None
    steps: list[Step] = field(default_factory=list)
    budget: Budget | None = None
    solution: SolutionProperties = field(default_factory=SolutionProperties)
    hazards: MadeHazards | None = None
    working: list[tuple[str, list[str]]] = field(default_factory=list)
    assumptions: list[str] = field(default_factory=list)
    temperature_degC: float = 20.0
    solvent_by_mass: bool = False
    storage: Storage | None = None
    waste: tuple[Waste, ...] = ()
    ppe: tuple[str, ...] = ()
    recipe: Recipe | None = None
    ph_setting: PhSetting | None = None
    series: SeriesMade | None = None
    product_name: str = ""
    computed_strengths: bool = False

    @property
    def main(self) -> Ingredient | None:
        """The first solute, or None before it is resolved."""
        return self.ingredients[0] if self.ingredients else None

    def open_about(self, about: str) -> Open | None:
        """The open choice on that subject, if any."""
        return next((o for o in self.opens if o.about == about), None)

    def has_step(self, action: str) -> bool:
        """Whether the bench card has a step of that kind."""
        return any(s.action == action for s in self.steps)
