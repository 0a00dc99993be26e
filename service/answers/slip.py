"""What a slip is."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from service.answers.facts import Facts


@dataclass(frozen=True, slots=True)
class Wrong:
    """A wrong number (in the unit of ``Facts.right``) and the sentence that says what was done."""

    value: float
    said: str


@dataclass(frozen=True, slots=True)
class Slip:
    """One slip: permanent ``id``, ``name`` in a few words, and the numbers it gives for some facts."""

    id: str
    name: str
    compute: Callable[[Facts], Iterator[Wrong]]
