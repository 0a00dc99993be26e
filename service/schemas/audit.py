"""Shapes of the audit log: its entries, and how much of what was asked for by whom."""

from typing import Annotated, Any, Literal, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from service.schemas.common import Hash, Outcome, Time, closed


@closed
class FoundSubstance(TypedDict):
    """A substance that was looked for, as the reply of this entry has it. Absent: not known."""

    substance: str
    strength_mol_L: NotRequired[float]
    amount_g: NotRequired[float]


@closed
class AuditEntry(TypedDict):
    """One entry. ``by`` is an id; ``name`` is who has that id now; ``told`` is the body that the hash covers."""

    seq: int
    at: Time
    by: str
    name: NotRequired[str]
    event: str
    subject: str
    told: Annotated[dict[str, Any], Field(description="what, why, before and after, versions of rules and data")]
    hash: Hash
    outcome: NotRequired[Outcome]
    text: NotRequired[str]
    read_as: NotRequired[str]
    substances: NotRequired[list[FoundSubstance]]


@closed
class AuditTotal(TypedDict):
    """How often one person asked for one substance with one outcome, and the grams in the solutions planned."""

    substance: str
    by: str
    name: NotRequired[str]
    outcome: Outcome
    count: int
    amount_g: float
    unknown_amounts: Annotated[int, Field(description="in the count, not in the sum")]


@closed
class AuditHead(TypedDict):
    """The newest entry that was reached; ``seq`` 0 is the empty log."""

    seq: int
    hash: Hash


@closed
class AuditFault(TypedDict):
    """The first place where the log is not whole; ``seq`` 0: not an entry, but the head file kept outside."""

    seq: int
    code: Literal["missing", "unlinked", "altered", "rewritten", "clock", "cut", "plan", "day", "head-file"]
    message: str


@closed
class AuditVerification(TypedDict):
    """Whether the log is whole: every link, the head file kept outside the database, every stored plan and prep day."""

    whole: bool
    checked: Annotated[AuditHead, Field(description="how far it was found whole, in whole parts")]
    broken: NotRequired[AuditFault]


@closed
class AuditPage(TypedDict):
    """One page, newest first; ``next`` is the ``after`` of the following page. ``totals`` cover all pages."""

    entries: list[AuditEntry]
    next: NotRequired[int]
    totals: NotRequired[list[AuditTotal]]
    without_strength: NotRequired[
        Annotated[
            int, Field(description="planned or held replies whose strength is not known in mol/L: not among them")
        ]
    ]
