"""Shapes of a prep day: what is sent in, and the one document of the day."""

from decimal import Decimal
from typing import Annotated, Literal, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from grammar.request import Request
from service.schemas.common import Amount, Outcome, PlanId, Time, Versions, closed
from service.schemas.plan import Measure
from service.schemas.records import OwnId, Reading, Words

Day = Annotated[str, Field(pattern=r"^\d{4}-\d{2}-\d{2}$", description="YYYY-MM-DD")]
To = Annotated[Words, Field(description="the course or room it is for; no name of a student")]


@closed
class VolumeBody(TypedDict):
    """A volume; a number as text keeps its digits."""

    value: Reading
    unit: Literal["mL", "L"]


@closed
class ClassSet(TypedDict):
    """What a class uses: ``students`` in groups of ``group_size``, in each of ``sections`` classes.

    Each group uses ``each`` once for every one of ``repeats``, ``rinse`` for every one of ``rinses``, and leaves
    ``dead_volume`` in its burette or dispenser. Spare is a percentage of the whole.
    """

    students: Annotated[int, Field(ge=1, le=10_000, description="in one section")]
    group_size: NotRequired[Annotated[int, Field(ge=1, le=100, description="2 for pairs; 1 when left out")]]
    sections: NotRequired[Annotated[int, Field(ge=1, le=1000)]]
    each: VolumeBody
    repeats: NotRequired[Annotated[int, Field(ge=1, le=1000)]]
    rinse: NotRequired[VolumeBody]
    rinses: NotRequired[Annotated[int, Field(ge=1, le=100)]]
    dead_volume: NotRequired[VolumeBody]
    spare_percent: NotRequired[Annotated[Decimal, Field(ge=0, le=1000, max_digits=8)]]


@closed
class DayRequest(TypedDict):
    """One request of the day: its ``text`` or a typed ``request``, without a volume where a class set is given."""

    text: NotRequired[str]
    request: NotRequired[Request]
    class_set: NotRequired[ClassSet]
    needed_by: NotRequired[Day]
    room: NotRequired[Annotated[str, Field(max_length=100)]]
    to: NotRequired[To]


@closed
class PrepDayBody(TypedDict):
    """A day in the prep room and what is asked for."""

    date: Day
    requests: Annotated[list[DayRequest], Field(min_length=1, max_length=100)]


@closed
class DayPart(TypedDict):
    """A request that went into a preparation; ``line`` is its place in what was sent, from 1; ``sum`` how it adds up."""

    line: int
    asked: str
    total: NotRequired[Amount]
    sum: NotRequired[list[str]]
    needed_by: NotRequired[Day]
    room: NotRequired[str]
    to: NotRequired[str]


@closed
class DayWait(TypedDict):
    """What takes its time; ``hours`` or ``days`` at least, where a figure is held."""

    kind: Literal["drying", "cooling", "standing", "standardising"]
    text: str
    hours: NotRequired[float]
    days: NotRequired[int]


@closed
class TakenFrom(TypedDict):
    """What is taken of another preparation of the day (its number)."""

    preparation: int
    what: str
    amount: Amount


@closed
class DayPreparation(TypedDict):
    """One solution to make, with its own plan; ``n`` is its place in the order of work.

    ``ready``: the first day it can be used; with ``waits``, only when those are over. ``withdrawn``: somebody withdrew the
    plan later, and the sheet leaves it out.
    """

    n: int
    plan: PlanId
    name: str
    read_as: str
    strength: NotRequired[str]
    total: NotRequired[Amount]
    sum: NotRequired[Annotated[list[str], Field(description="how the total adds up, where several were merged")]]
    parts: list[DayPart]
    measure: list[Measure]
    vessel: NotRequired[str]
    signal_word: NotRequired[str]
    fume_cupboard: bool
    takes_from: NotRequired[list[TakenFrom]]
    because: Annotated[str, Field(description="why it stands here in the order of work")]
    waits: list[DayWait]
    ready: Day
    use_by: NotRequired[Day]
    needed_by: NotRequired[Day]
    cautions: list[str]
    withdrawn: NotRequired[Literal[True]]


@closed
class PickPlace(TypedDict):
    """A bottle on the shelf that may be used today; ``free`` is what is left and not reserved."""

    bottle: OwnId
    place: str
    lot: NotRequired[str]
    free: str
    unit: str


@closed
class PickLine(TypedDict):
    """One thing to fetch, over all preparations (by number).

    ``made_here``: the preparation of the day it is. ``places`` and ``short`` are of the shelf as it stands now, for those
    who may see it.
    """

    what: str
    amount: Amount
    preparations: list[int]
    made_here: NotRequired[int]
    places: NotRequired[list[PickPlace]]
    short: NotRequired[str]


@closed
class DayTask(TypedDict):
    """One thing to do, in the order of work."""

    n: int
    do: Literal["dry", "make", "standardise"]
    preparation: int
    text: str
    because: str


@closed
class DayApart(TypedDict):
    """A request, or several that agree, of which nothing is merged or printed, and why. ``plan`` is its stored reply."""

    lines: list[int]
    asked: str
    outcome: Outcome
    why: Literal["held", "question", "refused", "answered", "not_understood", "would_not_keep", "needed_before"]
    message: str
    remedy: NotRequired[str]
    options: NotRequired[list[str]]
    plan: PlanId
    ready: NotRequired[str]
    needed_by: NotRequired[Day]
    room: NotRequired[str]
    to: NotRequired[str]
    state: NotRequired[Annotated[Literal["waiting", "approved", "declined"], Field(description="of a held plan, now")]]


@closed
class PrepDay(TypedDict):
    """A prep day: what is made in which order, what is fetched for it, and what stands apart."""

    id: OwnId
    at: Time
    date: Day
    requests: Annotated[int, Field(description="how many were sent")]
    preparations: list[DayPreparation]
    pick_list: list[PickLine]
    order: list[DayTask]
    apart: list[DayApart]
    versions: Versions


@closed
class DayLine(TypedDict):
    """One prep day in a list."""

    id: OwnId
    at: Time
    date: Day
    requests: int
    preparations: int
    apart: int


@closed
class DayList(TypedDict):
    """One page, newest first; ``next`` is the ``after`` of the following page."""

    days: list[DayLine]
    next: NotRequired[int]
