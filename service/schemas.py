"""The shapes of all replies, for the published contract. They describe; the hot path never runs them.

All objects are closed: what is not listed does not occur. A key that does not apply is absent, never null.
"""

from typing import Annotated, Any, Literal, NotRequired

from pydantic import ConfigDict, Field, with_config
from typing_extensions import TypedDict

from grammar.request import Combine, Prepare

Outcome = Literal["planned", "held", "question", "refused", "answered", "not_understood"]
Severity = Literal["note", "caution", "ask", "hold", "stop"]
Hash = Annotated[str, Field(pattern="^[0-9a-f]{64}$", description="SHA-256, hexadecimal")]
PlanId = Annotated[
    str,
    Field(
        pattern="^([0-9A-HJKMNP-TV-Z]{10}|draft-[0-9a-f]{12})$",
        description="ten characters of a stored reply; draft- and twelve for one that is stored nowhere",
    ),
]
Time = Annotated[str, Field(description="UTC, ISO 8601 with microseconds")]
closed = with_config(ConfigDict(extra="forbid"))


@closed
class Amount(TypedDict):
    """A number somebody acts on: unrounded in the fixed unit, and as the asker would read it."""

    value: float
    unit: Annotated[str, Field(description="g, mL, mol, mol/L, g/L, %, mol/kg, degC or g/mL")]
    display: str


@closed
class Citation(TypedDict):
    """Where a fact comes from; a value from memory or from common practice says so in ``reference``."""

    source_id: str
    locator: str
    reference: NotRequired[str]


@closed
class Product(TypedDict):
    """What is made."""

    substance: str
    form: NotRequired[str]
    formula: NotRequired[str]
    molar_mass: NotRequired[Amount]
    concentration: NotRequired[Amount]
    volume: NotRequired[Amount]


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
    u_rel: NotRequired[float]
    transfers: NotRequired[int]
    waste: NotRequired[Amount]
    minutes: NotRequired[float]


@closed
class Route(TypedDict):
    """How it is made and why that way."""

    kind: Literal["weigh", "dilute", "stock_then_dilute", "serial", "blend"]
    why: str
    alternatives: NotRequired[list[Alternative]]


@closed
class Vessel(TypedDict):
    """Where it is made up to volume."""

    kind: str
    nominal: Amount
    class_: Annotated[NotRequired[str], Field(alias="class")]
    tolerance: NotRequired[Amount]
    standard: NotRequired[str]
    count: NotRequired[int]
    note: NotRequired[str]


@closed
class Step(TypedDict):
    """One line of the bench card."""

    n: int
    action: str
    text: str
    caution: NotRequired[str]


@closed
class Working(TypedDict):
    """The sum, one line each."""

    method: str
    lines: list[str]


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
    """One limit that the strength was compared with."""

    limit: str
    at: float
    made: float
    unit: NotRequired[str]
    reached: NotRequired[bool]
    citations: NotRequired[list[Citation]]


@closed
class Hazards(TypedDict):
    """The hazard class of the solution at the strength made, under the policy in force."""

    policy: str
    classified_at: NotRequired[str]
    classes: NotRequired[list[str]]
    h_statements: NotRequired[list[str]]
    p_statements: NotRequired[list[str]]
    pictograms: NotRequired[list[str]]
    signal_word: NotRequired[str]
    limits_compared: NotRequired[list[Any]]


@closed
class Plan(TypedDict):
    """Everything needed at the bench."""

    product: Product
    measure: list[Measure]
    route: Route
    vessel: NotRequired[Vessel]
    steps: list[Step]
    working: NotRequired[list[Working]]
    uncertainty: NotRequired[Uncertainty]
    solution: NotRequired[Solution]
    hazards: NotRequired[Hazards]
    storage: NotRequired[str]
    use_by: NotRequired[str]
    waste: NotRequired[str]
    ppe: NotRequired[list[str]]


@closed
class Finding(TypedDict):
    """What one rule found. ``unchecked`` means that a fact is not held: it is never a pass."""

    rule: str
    group: str
    severity: Severity
    result: Literal["fired", "passed", "not_applicable", "unchecked"]
    message: NotRequired[str]
    remedy: NotRequired[str]
    citations: NotRequired[list[Citation]]


@closed
class QuestionOption(TypedDict):
    """One answer: what it would give, and the request to send for it."""

    id: str
    label: str
    effect: NotRequired[str]
    request: NotRequired[Prepare]


@closed
class Question(TypedDict):
    """The one question whose answer would change the amounts or the safety."""

    about: str
    text: str
    options: list[QuestionOption]


@closed
class AnswerShape(TypedDict):
    """The answer to a question about a plan, a substance or a conversion."""

    amount: NotRequired[Amount]
    text: str
    working: NotRequired[list[Working]]
    citations: NotRequired[list[Citation]]


@closed
class ProblemShape(TypedDict):
    """Why there is no plan. ``span`` counts characters of the text as typed, from 0, end excluded."""

    code: str
    message: str
    span: NotRequired[Annotated[list[int], Field(min_length=2, max_length=2)]]
    remedy: NotRequired[str]
    suggestions: NotRequired[list[str]]
    understood: NotRequired[dict[str, str]]


@closed
class Versions(TypedDict):
    """Under which rules and data a reply was made."""

    rules: str
    data: str


@closed
class Reply(TypedDict):
    """The answer to one request; the same document from the API, the command line and bulk."""

    id: PlanId
    outcome: Outcome
    read_as: NotRequired[str]
    request: NotRequired[Prepare | Combine]
    assumptions: NotRequired[list[str]]
    plan: NotRequired[Plan]
    findings: NotRequired[list[Finding]]
    question: NotRequired[Question]
    answer: NotRequired[AnswerShape]
    problem: NotRequired[ProblemShape]
    versions: Versions


@closed
class PlanLine(TypedDict):
    """One stored reply in a list."""

    id: PlanId
    at: Time
    outcome: Outcome
    text: NotRequired[str]
    read_as: NotRequired[str]
    plan_hash: Hash


@closed
class PlanList(TypedDict):
    """One page of stored replies, newest first; ``next`` is the ``after`` of the following page."""

    plans: list[PlanLine]
    next: NotRequired[int]
