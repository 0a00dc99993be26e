"""Shapes of a standardisation: the raw titres in, the judged strength out."""

from decimal import Decimal
from typing import Annotated, Literal, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from service.schemas.common import Amount, Citation, Time, Versions, Working, closed
from service.schemas.records import (
    AssayBody,
    Cause,
    Difference,
    OwnId,
    Reading,
    RealUncertainty,
    RecordId,
    Who,
    Words,
)

Correction = Annotated[Decimal, Field(ge=0, le=1000, max_digits=12)]


@closed
class RunBody(TypedDict):
    """One titration: the titre as read, and the mass of standard (g) or the volume of its solution (mL).

    ``left_out`` says why a run does not count; it stays in the record.
    """

    titre_mL: Reading
    mass_g: NotRequired[Reading]
    volume_mL: NotRequired[Reading]
    left_out: NotRequired[Words]


@closed
class StandardSolutionBody(TypedDict):
    """The solution that serves as standard: a preparation made here, or a strength with its expanded uncertainty (k = 2)."""

    preparation: NotRequired[RecordId]
    mol_L: NotRequired[Annotated[Decimal, Field(gt=0, le=60, max_digits=15)]]
    U_mol_L: NotRequired[Annotated[Decimal, Field(gt=0, le=10, max_digits=15)]]


@closed
class StandardisationBody(TypedDict):
    """Raw readings of a standardisation. The solution is in the burette unless ``in_burette`` is "standard"."""

    by: Who
    against: Annotated[Words, Field(description="the standard, with its form where several are sold")]
    indicator: NotRequired[Annotated[Words, Field(description="only where the table has several for this standard")]]
    runs: Annotated[list[RunBody], Field(min_length=1, max_length=30)]
    blank_mL: NotRequired[Correction]
    indicator_correction_mL: NotRequired[Correction]
    assay: NotRequired[AssayBody]
    lot: NotRequired[Words]
    balance: NotRequired[Words]
    burette_mL: NotRequired[Annotated[Decimal, Field(gt=0, le=200, max_digits=6)]]
    standard_solution: NotRequired[StandardSolutionBody]
    in_burette: NotRequired[Literal["solution", "standard"]]


@closed
class StandardUsed(TypedDict):
    """The standard: what it is, and how the table says it is used."""

    name: str
    formula: str
    molar_mass: NotRequired[Amount]
    solution: NotRequired[Amount]
    preparation: NotRequired[OwnId]
    titrant_per_standard: float
    indicator: str
    drying: NotRequired[str]
    note: NotRequired[str]
    citation: Citation


@closed
class RunShape(TypedDict):
    """One run worked out; ``titre_net`` is less the blank and the indicator correction."""

    mass: NotRequired[Amount]
    volume: NotRequired[Amount]
    titre: Amount
    titre_net: Amount
    strength: Amount
    left_out: NotRequired[str]


@closed
class CheckShape(TypedDict):
    """One requirement: what was found, what is needed, whether it is met."""

    what: str
    found: str
    limit: str
    met: bool
    citation: Citation


@closed
class NextDue(TypedDict):
    """When the solution is standardised again, and why then."""

    date: str
    basis: str
    citation: Citation


@closed
class Revalued(TypedDict):
    """A preparation made from the solution whose value changed with it."""

    id: OwnId
    was: NotRequired[str]
    now: NotRequired[str]
    not_revalued: NotRequired[str]


@closed
class Standardisation(TypedDict):
    """A standardisation. ``accepted``: its mean is now the strength of the solution and of all made from it."""

    id: OwnId
    preparation: OwnId
    at: Time
    by: str
    solution: str
    recorded: StandardisationBody
    standard: StandardUsed
    runs: list[RunShape]
    mean: Amount
    rsd_pct: NotRequired[float]
    nominal: NotRequired[Amount]
    factor: NotRequired[Annotated[float, Field(description="mean over nominal")]]
    difference: NotRequired[Difference]
    uncertainty: RealUncertainty
    largest_cause: Cause
    accepted: bool
    checks: list[CheckShape]
    verdict: str
    next_due: NextDue
    revalued: NotRequired[list[Revalued]]
    assumptions: NotRequired[list[str]]
    working: list[Working]
    versions: Versions


@closed
class StandardisationList(TypedDict):
    """The standardisations of one preparation, oldest first."""

    standardisations: list[Standardisation]
