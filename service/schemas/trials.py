"""The shape of a trial: what a record would say, worked out and not stored."""

from typing import Literal, NotRequired

from typing_extensions import TypedDict

from service.schemas.common import Versions, closed
from service.schemas.records import Failed, Made, UseByDate, UsedShape


@closed
class Trial(TypedDict):
    """What a record with these readings would say. It has no id: nothing is stored."""

    read_as: str
    status: Literal["made", "failed"]
    used: list[UsedShape]
    made: NotRequired[Made]
    failed: NotRequired[Failed]
    use_by: NotRequired[UseByDate]
    cautions: NotRequired[list[str]]
    assumptions: NotRequired[list[str]]
    versions: Versions
