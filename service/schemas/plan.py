"""The shape of a plan."""

from typing import Annotated, Literal, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from service.schemas.blends import PhPart, RecipePart, SeriesPart
from service.schemas.common import Amount, Working, closed


@closed
class ProductPart(TypedDict):
    """One solute of a solution with several."""

    substance: str
    formula: str
    strength: str


@closed
class Product(TypedDict):
    """What is made; ``name`` where it has one of its own ("phosphate-buffered saline, 1x")."""

    substance: str
    name: NotRequired[str]
    form: NotRequired[str]
    formula: NotRequired[str]
    molar_mass: NotRequired[Amount]
    concentration: NotRequired[Amount]
    volume: NotRequired[Amount]
    mass: NotRequired[Amount]
    components: NotRequired[list[ProductPart]]


@closed
class Window(TypedDict):
    """The amounts that truly keep the strength as it was asked for."""

    low: Amount
    high: Amount


@closed
class Measure(TypedDict):
    """One thing to weigh or to pour."""

    what: str
    role: Literal["solute", "stock", "solvent", "component"]
    amount: Amount
    textbook: NotRequired[str]
    window: NotRequired[Window]
    using: NotRequired[str]


@closed
class Alternative(TypedDict):
    """Another way that was considered."""

    kind: str
    summary: str
    u_rel: float
    transfers: int
    waste: Amount
    minutes: float


@closed
class Dilution(TypedDict):
    """Take this much of the liquid before, and make it up in the next vessel."""

    take: Amount
    using: str
    into: str
    label: str


@closed
class Route(TypedDict):
    """How it is made and why that way; ``stock_vessel`` and ``dilutions`` when a stock is made first."""

    kind: Literal["weigh", "dilute", "stock_then_dilute", "serial", "blend"]
    why: str
    alternatives: list[Alternative]
    stock_vessel: NotRequired[str]
    dilutions: NotRequired[list[Dilution]]


@closed
class Portion(TypedDict):
    """One filling, when one vessel does not hold it all; ``amounts`` are its shares, in the order of ``measure``."""

    vessel: str
    volume: Amount
    amounts: NotRequired[list[Amount]]


@closed
class Vessel(TypedDict):
    """Where it is made up to volume; ``count`` fillings, listed in ``portions`` when there are several."""

    kind: str
    words: str
    nominal: Amount
    count: int
    class_: Annotated[NotRequired[str], Field(alias="class")]
    tolerance: Amount
    standard: NotRequired[str]
    portions: NotRequired[list[Portion]]


@closed
class Step(TypedDict):
    """One line of the bench card."""

    n: int
    action: str
    text: str
    caution: NotRequired[str]


@closed
class BudgetLine(TypedDict):
    """One source of uncertainty: relative standard uncertainty and its share of the variance, 0 to 1."""

    source: str
    u_rel: float
    share: float


@closed
class Uncertainty(TypedDict):
    """GUM budget of the concentration: U = k u."""

    concentration: NotRequired[Amount]
    u_rel: float
    U: NotRequired[Amount]
    k: float
    budget: list[BudgetLine]


@closed
class Solution(TypedDict):
    """The made solution."""

    density: NotRequired[Amount]
    mass_fraction: NotRequired[Amount]
    molality: NotRequired[Amount]
    temperature_rise: NotRequired[Amount]


@closed
class LimitCompared(TypedDict):
    """One limit of one entry that the strength was compared with, % w/w; ``met``: the class applies."""

    entry: str
    class_: Annotated[str, Field(alias="class")]
    limit_pct: float | None
    actual_pct: float | None
    met: bool
    source_id: str
    locator: str


@closed
class HazardClass(TypedDict):
    """One class that the made solution falls in, and why."""

    class_: Annotated[str, Field(alias="class")]
    category: str
    h_code: str
    because: str


@closed
class Statement(TypedDict):
    """A hazard or precautionary statement."""

    code: str
    text: str


@closed
class Pictogram(TypedDict):
    """A pictogram of the label."""

    code: str
    name: str


@closed
class Hazards(TypedDict):
    """The hazard class of the solution at the strength made, under the policy in force.

    ``not_classified_here`` names substances without an entry in the tables: take the supplier's sheet; it never
    means harmless. ``found_by_test_only`` names classes that only a test on the mixture settles.
    """

    policy: str
    policy_title: str
    classified_at: str
    classes: list[HazardClass]
    h_statements: list[Statement]
    p_statements: list[Statement]
    pictograms: list[Pictogram]
    signal_word: NotRequired[str]
    limits_compared: list[LimitCompared]
    not_classified_here: NotRequired[list[str]]
    found_by_test_only: NotRequired[list[str]]


@closed
class Storage(TypedDict):
    """What to keep it in and where."""

    container: str
    closure: str
    condition: str


@closed
class UseBy(TypedDict):
    """How many days it keeps, and on what ground."""

    days: int | None
    basis: str


@closed
class WasteRoute(TypedDict):
    """Where what is left goes."""

    stream: str
    advice: str


@closed
class Plan(TypedDict):
    """Everything needed at the bench."""

    product: Product
    measure: list[Measure]
    route: NotRequired[Route]
    vessel: NotRequired[Vessel]
    steps: list[Step]
    working: list[Working]
    uncertainty: NotRequired[Uncertainty]
    solution: NotRequired[Solution]
    hazards: NotRequired[Hazards]
    storage: NotRequired[Storage]
    use_by: NotRequired[UseBy]
    waste: NotRequired[list[WasteRoute]]
    ppe: NotRequired[list[str]]
    recipe: NotRequired[RecipePart]
    ph: NotRequired[PhPart]
    series: NotRequired[SeriesPart]
