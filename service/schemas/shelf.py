"""Shapes of the shelf: a bottle, what happens to it, and its family."""

from decimal import Decimal
from typing import Annotated, Literal, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from service.schemas.batch import BatchError
from service.schemas.common import Time, closed
from service.schemas.records import OwnId, Reading, RecordId, Who, Words

Day = Annotated[str, Field(pattern=r"^\d{4}-\d{2}-\d{2}$", description="YYYY-MM-DD")]
Left = Annotated[Decimal, Field(ge=0, le=1_000_000, max_digits=15)]
Unit = Literal["g", "mL"]
Kind = Literal["take", "hand-out", "reserve", "release", "quarantine", "clear", "withdraw"]
Happened = Literal["take", "give-back", "hand-out", "reserve", "release", "quarantine", "clear", "withdraw"]
State = Literal["in use", "expired", "quarantined", "used up", "withdrawn"]


@closed
class StrengthShape(TypedDict):
    """Strength of a solution as its label has it; a number as text keeps its digits."""

    value: Reading
    unit: Literal["mol/L", "g/L", "% w/w", "% w/v"]


@closed
class BottleBody(TypedDict):
    """A bottle to put on the shelf: a ``name`` with its form, or the ``preparation`` that is in it."""

    by: Who
    name: NotRequired[Words]
    form: NotRequired[Annotated[Words, Field(description="as the tables call it, where the name does not say it")]]
    preparation: NotRequired[RecordId]
    strength: NotRequired[StrengthShape]
    amount: Reading
    unit: Unit
    place: Words
    lot: NotRequired[Words]
    assay_pct: NotRequired[Annotated[Decimal, Field(gt=0, le=110, max_digits=12, description="of the certificate, %")]]
    density_g_mL: NotRequired[Annotated[Decimal, Field(gt=0, le=25, max_digits=12)]]
    supplier: NotRequired[Words]
    opened: NotRequired[Day]
    expiry: NotRequired[Annotated[Day, Field(description="the last day it may be used")]]


@closed
class EventBody(TypedDict):
    """What happens to a bottle. Amounts are in the bottle's own unit, which is said again so that none is mistaken."""

    by: Who
    kind: Kind
    amount: NotRequired[Reading]
    unit: NotRequired[Unit]
    reason: NotRequired[Words]
    to: NotRequired[Annotated[Words, Field(description="the course or room it goes to; no name of a student")]]
    plan: NotRequired[RecordId]
    reservation: NotRequired[Annotated[int, Field(ge=1, le=2**62, description="'number' of the event that reserved")]]


@closed
class StandingCells(TypedDict):
    """What an imported line may say of a bottle as it stands; ``left`` and ``reserved`` are in the bottle's unit."""

    left: NotRequired[Left]
    reserved: NotRequired[Left]
    state: NotRequired[State]
    reason: NotRequired[Words]


@closed
class EventShape(TypedDict):
    """One event; ``number`` is that of its audit entry. A correction of a record gives back what it took too much."""

    number: int
    at: Time
    by: str
    kind: Happened
    amount: NotRequired[str]
    reason: NotRequired[str]
    to: NotRequired[str]
    plan: NotRequired[str]
    preparation: NotRequired[OwnId]
    reservation: NotRequired[int]


@closed
class Reservation(TypedDict):
    """An open reservation: the number of its event, and how much."""

    number: int
    amount: str


@closed
class Bottle(TypedDict):
    """A bottle as it stands: ``free`` is what is left and not reserved. Amounts are decimal text in ``unit``."""

    id: OwnId
    at: Time
    by: str
    kind: Literal["reagent", "solution", "made"]
    substance: str
    form: NotRequired[str]
    name: str
    strength: NotRequired[StrengthShape]
    preparation: NotRequired[OwnId]
    lot: NotRequired[str]
    assay_pct: NotRequired[str]
    density_g_mL: NotRequired[str]
    supplier: NotRequired[str]
    opened: NotRequired[str]
    expiry: NotRequired[str]
    place: str
    unit: Unit
    amount: str
    left: str
    free: str
    reservations: NotRequired[Annotated[list[Reservation], Field(description="those that are open")]]
    state: State
    why: NotRequired[str]
    history: list[EventShape]


@closed
class ShelfPage(TypedDict):
    """One page, newest first; ``next`` is the ``after`` of the following page."""

    bottles: list[Bottle]
    next: NotRequired[int]


@closed
class Relative(TypedDict):
    """One bottle, preparation or hand-out below another (``source``)."""

    id: str
    source: OwnId
    kind: Literal["bottle", "preparation", "hand-out"]
    name: str
    quarantined: bool


@closed
class Family(TypedDict):
    """Everything made from or filled from ``id``, nearest first."""

    id: OwnId
    below: list[Relative]


@closed
class EventDone(TypedDict):
    """The event, and everything it reached: a quarantine reaches all that was made from the bottle."""

    id: OwnId
    event: Kind
    reached: list[Relative]


@closed
class ImportedRow(TypedDict):
    """One bottle of a table. ``unchanged``: it is on the shelf already. ``bottle`` is its id, once it has one."""

    row: Annotated[int, Field(description="line of the file, from 1")]
    bottle: NotRequired[OwnId]
    name: str
    strength: NotRequired[StrengthShape]
    lot: NotRequired[str]
    amount: str
    left: str
    unit: Unit
    place: str
    state: State
    unchanged: NotRequired[Literal[True]]
    notes: NotRequired[list[str]]


@closed
class Imported(TypedDict):
    """A table that was tried (``saved`` 0), or confirmed: then all of its new bottles were put up in one transaction."""

    confirmed: bool
    saved: int
    rows: list[ImportedRow]
    errors: list[BatchError]


@closed
class ExpiringLine(TypedDict):
    """A bottle or preparation and its last day; ``days`` from today, negative once it is past."""

    id: OwnId
    kind: Literal["bottle", "preparation"]
    name: str
    expiry: str
    days: int
    state: State
    strength: NotRequired[Annotated[StrengthShape, Field(description="of a bottle, as its label has it")]]
    concentration: NotRequired[Annotated[str, Field(description="of a preparation, as made")]]
    lot: NotRequired[str]
    place: NotRequired[str]
    left: NotRequired[str]
    unit: NotRequired[Unit]


@closed
class ExpiringPage(TypedDict):
    """One page, the earliest last day first; ``next`` is the ``after`` of the following page."""

    until: str
    expiring: list[ExpiringLine]
    next: NotRequired[str]
