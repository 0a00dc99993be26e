"""The shapes of rules, substances, health, the start page and problems, for the published contract."""

from typing import Annotated, Any, Literal, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from service.schemas.common import Amount, Citation, Hash, Result, Severity, Versions, closed


@closed
class ExampleShape(TypedDict):
    """A request that shows a rule at work, and what the rule then says."""

    text: str
    result: Result
    message: NotRequired[str]


@closed
class RuleLine(TypedDict):
    """One rule in a list."""

    id: str
    group: str
    title: str
    severity: Severity
    applies_to: str
    citations: list[Citation]


@closed
class RuleShape(RuleLine):
    """One rule in full."""

    rationale: str
    remedy: str
    examples: list[ExampleShape]


@closed
class RuleList(TypedDict):
    """Every rule that a plan is checked against."""

    rules: list[RuleLine]


@closed
class Phrase(TypedDict):
    """A sentence and how it is read: the canonical sentence and the typed request."""

    text: str
    read_as: str
    request: dict[str, Any]


@closed
class Refusal(TypedDict):
    """A sentence that is turned back, with the stable code, the message and what to do."""

    text: str
    code: str
    message: str
    remedy: str


@closed
class PhrasebookShape(TypedDict):
    """How requests may be typed, and what is turned back."""

    requests: list[Phrase]
    refusals: list[Refusal]


@closed
class FormShape(TypedDict):
    """One form of a substance as sold; ``water`` per formula unit, molar mass in g/mol with it."""

    label: str
    water: str
    formula: NotRequired[str]
    cas: NotRequired[str]
    state: NotRequired[str]
    sold: bool
    molar_mass: NotRequired[float]
    citation: Citation


@closed
class SolubilityPoint(TypedDict):
    """What dissolves in water at one temperature, counted without water of crystallisation.

    ``kind`` is how well the value is supported: two sources agree (evaluated), a handbook, one source, sources differ
    (disputed), or memory (unverified). ``mass_fraction`` is that of the saturated solution.
    """

    temperature: Amount
    per_100g_water: Amount
    mass_fraction: Amount
    solid_phase: str
    kind: Literal["evaluated", "handbook", "single-source", "disputed", "unverified"]
    citations: list[Citation]


@closed
class Mixes(TypedDict):
    """A liquid that mixes with water in all proportions."""

    note: str
    citation: Citation


@closed
class SubstanceLine(TypedDict):
    """One substance in a list."""

    slug: str
    name: str
    formula: NotRequired[str]
    family: NotRequired[str]
    forms: list[str]


@closed
class SubstanceShape(TypedDict):
    """One substance in full; ``names`` are other spellings that are read."""

    slug: str
    name: str
    formula: NotRequired[str]
    family: NotRequired[str]
    molar_mass: NotRequired[float]
    names: list[str]
    forms: list[FormShape]
    solubility: NotRequired[list[SolubilityPoint]]
    miscible: NotRequired[Mixes]
    citation: Citation


@closed
class SubstanceList(TypedDict):
    """Substances that match; ``suggestions`` are near spellings when none does."""

    substances: list[SubstanceLine]
    suggestions: NotRequired[list[str]]


@closed
class AuditHead(TypedDict):
    """The newest entry of the audit log."""

    seq: int
    hash: Hash


@closed
class SourceShape(TypedDict):
    """A document that facts were taken from; ``kind`` "memory" or "practice" says that there is none."""

    source_id: str
    reference: str
    kind: str
    url: NotRequired[str]


@closed
class Health(TypedDict):
    """Whether the service can take requests."""

    live: bool
    ready: bool
    store: str
    login: str
    sign_in: NotRequired[Annotated[str, Field(description="where a browser signs in by an account kept elsewhere")]]
    audit_head_agreed_at_start: bool
    audit_head: NotRequired[AuditHead]
    versions: Versions


@closed
class Live(TypedDict):
    """The process runs."""

    live: Literal[True]


@closed
class Start(TypedDict):
    """What is where."""

    name: str
    about: str
    version: str
    endpoints: dict[str, str]


@closed
class FieldErrorShape(TypedDict):
    """One field that cannot be used: JSON pointer into the body (or /query/NAME), what is wrong, what is allowed."""

    pointer: str
    message: str
    allowed: NotRequired[list[str]]


@closed
class ProblemDocument(TypedDict):
    """RFC 9457 problem details; ``type`` is the address of a page that explains it."""

    type: str
    title: str
    status: int
    detail: str
    request_id: str
    errors: NotRequired[list[FieldErrorShape]]


@closed
class ProblemPage(TypedDict):
    """What a problem type means and what to do."""

    type: str
    title: str
    status: Annotated[int, Field(ge=400, le=599)]
    meaning: str
    remedy: str


@closed
class ProblemList(TypedDict):
    """Every problem type."""

    problems: list[ProblemPage]
