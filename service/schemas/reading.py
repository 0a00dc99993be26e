"""The shape of a reading."""

from typing import Annotated, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from service.schemas.common import closed
from service.schemas.reply import ProblemShape


@closed
class FieldRead(TypedDict):
    """One thing that was read, in words; a name may occur more than once."""

    name: str
    value: str


@closed
class Reading(TypedDict):
    """Either ``read_as`` and ``fields``, or the ``problem``."""

    read_as: NotRequired[Annotated[str, Field(description="the text in one canonical sentence")]]
    fields: NotRequired[list[FieldRead]]
    problem: NotRequired[ProblemShape]
