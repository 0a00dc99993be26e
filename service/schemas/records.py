"""Shapes of the bench record: what is sent in, and the preparation that comes back."""

from decimal import Decimal
from typing import Annotated, Literal, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from service.schemas.common import Amount, Time, Versions, closed
from service.schemas.plan import Hazards, Storage, WasteRoute

RecordId = Annotated[str, Field(description="ten characters, typed in any case")]
OwnId = Annotated[str, Field(pattern="^[0-9A-HJKMNP-TV-Z]{10}$")]
Words = Annotated[str, Field(min_length=1, max_length=200, pattern=r"^[^\x00-\x1f\x7f]+$")]
Who = Annotated[
    str, Field(min_length=1, max_length=60, pattern=r"^[^\x00-\x1f\x7f]+$", description="initials or staff id")
]
Reading = Annotated[
    Decimal, Field(gt=0, le=1_000_000, max_digits=15, description="as read, best as text: every digit is kept")
]
MassOrVolume = Literal["g", "mg", "kg", "mL", "uL", "L"]
MASSES: dict[str, float] = {"g": 1.0, "mg": 1e-3, "kg": 1e3}
VOLUMES: dict[str, float] = {"mL": 1.0, "uL": 1e-3, "L": 1e3}
Outcome = Literal["made", "overshot", "spilt", "not_dissolved", "other_failure"]


@closed
class AssayBody(TypedDict):
    """Assay of the lot's certificate, % by mass; ``half_width``: how far off it may be, in % (default 0.5)."""

    value: Annotated[Decimal, Field(gt=0, le=110, max_digits=12)]
    half_width: NotRequired[Annotated[Decimal, Field(gt=0, le=50, max_digits=12)]]


@closed
class UsedBody(TypedDict):
    """What really went in for one thing to measure; ``measure`` is its number on the sheet, ``readings`` are net and added up."""

    measure: NotRequired[Annotated[int, Field(ge=1, le=40)]]
    readings: Annotated[list[Reading], Field(min_length=1, max_length=50)]
    unit: MassOrVolume
    lot: NotRequired[Words]
    assay: NotRequired[AssayBody]
    density_g_mL: NotRequired[Annotated[Decimal, Field(gt=0, le=25, max_digits=12)]]
    balance: NotRequired[Annotated[Words, Field(description="its name in this lab, such as BA")]]
    ware: NotRequired[Annotated[Words, Field(description="the pipette, burette or cylinder, as marked")]]
    source: NotRequired[
        Annotated[RecordId, Field(description="the preparation it was taken from, where it was made here")]
    ]
    bottle: NotRequired[
        Annotated[
            RecordId,
            Field(description="the bottle of the shelf it was taken from; lot, assay and density are its, if not stated"),
        ]
    ]


@closed
class VesselBody(TypedDict):
    """One vessel it was made up in; ``mark`` is the number on it."""

    nominal_mL: Annotated[Decimal, Field(gt=0, le=20_000, max_digits=12)]
    kind: NotRequired[Literal["volumetric-flask", "measuring-cylinder", "plastic-volumetric-flask"]]
    glass_class: NotRequired[Literal["A", "B"]]
    filled_mL: NotRequired[
        Annotated[Decimal, Field(gt=0, le=20_000, max_digits=12, description="where not to its mark")]
    ]
    mark: NotRequired[Words]


@closed
class PreparationBody(TypedDict):
    """What was really done. What is left out is taken as planned, and the reply says so."""

    by: Who
    outcome: NotRequired[Annotated[Outcome, Field(description="made, or how it failed")]]
    used: Annotated[list[UsedBody], Field(max_length=40)]
    vessels: NotRequired[Annotated[list[VesselBody], Field(min_length=1, max_length=24)]]
    water: NotRequired[Words]
    temperature_degC: NotRequired[Annotated[Decimal, Field(ge=0, le=40, max_digits=6)]]
    measured_pH: NotRequired[Annotated[Decimal, Field(ge=-2, le=16, max_digits=6)]]
    deviations: NotRequired[Annotated[list[Words], Field(max_length=20)]]


@closed
class CorrectionBody(TypedDict):
    """The whole record as it should read, and why it is corrected. The entry before stays."""

    by: Who
    reason: Words
    record: PreparationBody


@closed
class UsedShape(TypedDict):
    """One thing that went in: the amount, each reading, and where it came from; ``in_window``: it keeps the strength asked for."""

    measure: int
    what: str
    amount: Amount
    planned: Amount
    readings: list[str]
    unit: MassOrVolume
    using: NotRequired[str]
    in_window: NotRequired[bool]
    lot: NotRequired[str]
    assay_pct: NotRequired[float]
    source: NotRequired[OwnId]
    bottle: NotRequired[OwnId]


@closed
class FromShelf(TypedDict):
    """What the record takes from one bottle, and what was left in it then; decimal text in ``unit``."""

    bottle: OwnId
    name: str
    place: str
    taken: str
    left: str
    unit: Literal["g", "mL"]


@closed
class RealBudgetLine(TypedDict):
    """One cause of doubt: relative standard uncertainty and share of the variance."""

    source: str
    u_rel: float
    share: float


@closed
class RealUncertainty(TypedDict):
    """Expanded uncertainty U with coverage factor k, from what was really used."""

    u_rel: float
    U: Amount
    k: float
    budget: list[RealBudgetLine]


@closed
class Cause(TypedDict):
    """The largest cause of doubt and what would lessen it."""

    source: str
    share: float
    cure: str


@closed
class Keeps(TypedDict):
    """Whether the figures that were asked for still hold; ``room_pct`` is how far the strength may be off."""

    holds: bool
    room_pct: float
    text: str


@closed
class Difference(TypedDict):
    """Real strength less nominal, in % of nominal."""

    percent: float
    display: str


@closed
class ComponentMade(TypedDict):
    """One component of a solution of several."""

    name: str
    formula: str
    concentration: NotRequired[Amount]
    nominal: NotRequired[Amount]
    difference: NotRequired[Difference]
    uncertainty: NotRequired[RealUncertainty]


@closed
class Made(TypedDict):
    """What is in the bottle: names, strength and how it is known."""

    name: str
    substance: str
    formula: str
    volume: NotRequired[Amount]
    mass: NotRequired[Amount]
    made_in: NotRequired[str]
    nominal: NotRequired[Amount]
    concentration: NotRequired[Amount]
    basis: NotRequired[Annotated[Literal["measured", "standardised"], Field(description="how the strength is known")]]
    nominal_until_standardised: NotRequired[
        Annotated[str, Field(description="why weighing alone gives no true strength")]
    ]
    difference: NotRequired[Difference]
    uncertainty: NotRequired[RealUncertainty]
    largest_cause: NotRequired[Cause]
    keeps_request: NotRequired[Keeps]
    components: NotRequired[list[ComponentMade]]
    hazards: NotRequired[Hazards]
    storage: NotRequired[Storage]
    waste: NotRequired[list[WasteRoute]]


@closed
class UseByDate(TypedDict):
    """The last day, and what it rests on."""

    date: NotRequired[Annotated[str, Field(description="YYYY-MM-DD")]]
    basis: str


@closed
class Failed(TypedDict):
    """Why it is discarded, where it goes, and how to begin again."""

    name: str
    reason: str
    discard: list[WasteRoute]
    restart: str


@closed
class StandardisedBy(TypedDict):
    """The standardisation the strength rests on."""

    id: OwnId
    on: str
    due: str


@closed
class Changed(TypedDict):
    """One field that a correction changed."""

    field: str
    was: NotRequired[str]
    now: NotRequired[str]


@closed
class ChainEntry(TypedDict):
    """One entry of the record. Entries are only added."""

    entry: int
    at: Time
    by: str
    kind: Literal["recorded", "corrected", "standardised", "revalued"]
    why: NotRequired[str]
    changed: NotRequired[list[Changed]]
    concentration: NotRequired[str]


@closed
class Preparation(TypedDict):
    """A preparation as its newest entry has it, with the chain of entries before."""

    id: OwnId
    plan: OwnId
    read_as: str
    status: Literal["made", "failed"]
    entry: int
    at: Annotated[Time, Field(description="of the newest entry")]
    made_at: Time
    by: str
    recorded: Annotated[PreparationBody, Field(description="as it was sent, with the corrections")]
    used: list[UsedShape]
    from_shelf: NotRequired[list[FromShelf]]
    made: NotRequired[Made]
    failed: NotRequired[Failed]
    use_by: NotRequired[UseByDate]
    standardised: NotRequired[StandardisedBy]
    cautions: NotRequired[list[str]]
    assumptions: NotRequired[list[str]]
    chain: list[ChainEntry]
    versions: Versions


@closed
class PreparationLine(TypedDict):
    """One preparation in a list."""

    id: OwnId
    plan: OwnId
    at: Time
    status: Literal["made", "failed"]
    name: NotRequired[str]
    concentration: NotRequired[str]


@closed
class PreparationList(TypedDict):
    """One page, newest first; ``next`` is the ``after`` of the following page."""

    preparations: list[PreparationLine]
    next: NotRequired[int]
