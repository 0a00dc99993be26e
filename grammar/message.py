"""What a person says about a request that is already there, as a typed ``Message``; read by ``message_reader``.

A message is read only when every word of it has its place. Numbers keep the digits typed; which part of the request a
number belongs to, and what a colour or a bare number means, is settled by whoever holds the request.
"""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal, TypeAlias

from grammar.request import Container, Named, Purpose, Quantity, Source

Role: TypeAlias = Literal["", "total", "strength", "purity", "each", "bottle"]


@dataclass(frozen=True, slots=True)
class SetQuantity:
    """Another volume, mass or strength; ``role`` where the words said what it is."""

    quantity: Quantity
    role: Role = ""


@dataclass(frozen=True, slots=True)
class SetNumber:
    """A number without a unit; ``role`` where the words said what it is."""

    value: Decimal
    role: Role = ""


@dataclass(frozen=True, slots=True)
class SetForm:
    """Another form: ``water`` per formula unit ("5", "0", "x"), or the ``colour`` of what is in the bottle."""

    water: str | None = None
    colour: str | None = None


@dataclass(frozen=True, slots=True)
class SetPeople:
    """Another number of people, groups or classes."""

    count: int
    who: str


@dataclass(frozen=True, slots=True)
class SetSpare:
    """A spare in percent; 0 for none."""

    percent: Decimal


@dataclass(frozen=True, slots=True)
class SetScale:
    """So many times as much, or so many times as strong."""

    factor: Decimal
    of: Literal["total", "strength"] = "total"


@dataclass(frozen=True, slots=True)
class SetBasis:
    """What the percentage counts: ``unit`` is "% w/v", "% w/w" or "% v/v"."""

    unit: str


@dataclass(frozen=True, slots=True)
class SetContainer:
    """Another vessel."""

    container: Container


@dataclass(frozen=True, slots=True)
class SetSource:
    """What it is made from."""

    source: Source


@dataclass(frozen=True, slots=True)
class SetPurpose:
    """How closely it must hold."""

    purpose: Purpose


@dataclass(frozen=True, slots=True)
class SetSolute:
    """The same of another substance; ``instead_of`` what it was said to replace."""

    named: Named
    instead_of: Named | None = None


Change: TypeAlias = (
    SetQuantity
    | SetNumber
    | SetForm
    | SetPeople
    | SetSpare
    | SetScale
    | SetBasis
    | SetContainer
    | SetSource
    | SetPurpose
    | SetSolute
)


@dataclass(frozen=True, slots=True)
class Amend:
    """Changes to the request, in the order said."""

    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class About:
    """A question about the plan. ``of``: words that may name its substance; ``vessel``: the vessel it is about."""

    topic: str
    of: str = ""
    vessel: Container | None = None


@dataclass(frozen=True, slots=True)
class Weighed:
    """What was really measured; ``of``: the substance when it was said."""

    quantity: Quantity
    of: str = ""


@dataclass(frozen=True, slots=True)
class Claimed:
    """An amount that somebody got and wants checked."""

    quantity: Quantity


@dataclass(frozen=True, slots=True)
class Available:
    """A mass that is all there is: how much can be made of it is asked."""

    quantity: Quantity


@dataclass(frozen=True, slots=True)
class Rounded:
    """The amount is wanted at so many significant figures, or with so many decimal places."""

    figures: int = 0
    places: int | None = None


@dataclass(frozen=True, slots=True)
class Thanks:
    """Small talk."""


@dataclass(frozen=True, slots=True)
class StartAgain:
    """The request is dropped."""


@dataclass(frozen=True, slots=True)
class Undo:
    """The request before the last change is wanted back; ``first``: the one the conversation began with."""

    first: bool = False


@dataclass(frozen=True, slots=True)
class Repeat:
    """The plan as it stands, again."""


@dataclass(frozen=True, slots=True)
class Help:
    """What can be asked here."""


@dataclass(frozen=True, slots=True)
class Unsure:
    """The open question cannot be answered yet."""


@dataclass(frozen=True, slots=True)
class More:
    """So much more, or so much once again: which of the two is asked."""

    quantity: Quantity


@dataclass(frozen=True, slots=True)
class Failed:
    """Something went wrong: ``kind`` filled (made up to another volume), overshot, spilt, not_dissolved."""

    kind: str
    quantity: Quantity | None = None


@dataclass(frozen=True, slots=True)
class InUnit:
    """The strength of the plan in another unit."""

    unit: str


Message: TypeAlias = (
    Amend | About | Weighed | Claimed | Available | Rounded | Thanks | StartAgain | Undo | Repeat | Help | Unsure | More | Failed | InUnit
)
