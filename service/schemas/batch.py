"""Shapes of a batch: what each row gives, and what is wrong with the others."""

from typing import Annotated, Literal, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from service.schemas.common import Outcome, PlanId, closed


@closed
class BatchRow(TypedDict):
    """One row that can be answered. ``plan`` once it is saved; ``ref`` is the row's own id.

    ``unchanged``: it was saved under that id before and asks for the same, so nothing is saved again.
    """

    row: Annotated[int, Field(description="line of the file, from 1")]
    ref: NotRequired[str]
    outcome: Outcome
    read_as: NotRequired[str]
    plan: NotRequired[PlanId]
    unchanged: NotRequired[Literal[True]]


@closed
class BatchError(TypedDict):
    """What is wrong with a row, and in which column or field."""

    row: int
    ref: NotRequired[str]
    column: str
    message: str


@closed
class Batch(TypedDict):
    """A batch that was tried (``saved`` 0), or confirmed: then every row without an error was saved, all or none."""

    confirmed: bool
    saved: int
    rows: list[BatchRow]
    errors: list[BatchError]
