"""The shape of what the shelf holds of a plan."""

from typing import Annotated, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from service.schemas.common import Amount, closed
from service.schemas.days import PickPlace
from service.schemas.records import OwnId


@closed
class ShelfLine(TypedDict):
    """One thing the plan measures. ``places``: the bottles that may be used today, soonest last day first; empty where there
    is none, left out where the thing is no one substance in one form and was not looked for."""

    what: str
    amount: Amount
    places: NotRequired[list[PickPlace]]
    short: NotRequired[Annotated[str, Field(description="what is free and what is needed, where it is too little")]]


@closed
class ReadyBottle(TypedDict):
    """A bottle of the solution itself within 0.5 % of the strength asked for; ``enough``: for the whole volume."""

    bottle: OwnId
    place: str
    name: str
    strength: str
    free: str
    unit: str
    expiry: NotRequired[str]
    enough: NotRequired[bool]


@closed
class FormThere(TypedDict):
    """One answer to the question which form it is, and the bottles of that form."""

    label: str
    places: list[PickPlace]


@closed
class PlanShelf(TypedDict):
    """What the shelf holds of a stored plan today. Nothing is reserved by asking."""

    plan: OwnId
    fetch: NotRequired[list[ShelfLine]]
    ready: NotRequired[list[ReadyBottle]]
    forms: NotRequired[list[FormThere]]
