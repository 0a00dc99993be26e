"""The shapes of what only recipes, buffers and series have."""

from typing import NotRequired

from typing_extensions import TypedDict

from service.schemas.common import Amount, closed


@closed
class SourceCited(TypedDict):
    """A source with its full reference."""

    source_id: str
    locator: str
    reference: str


@closed
class RecipePart(TypedDict):
    """The published mixture the plan follows; ``scale`` multiplies its strength."""

    name: str
    per: str
    scale: float
    notes: list[str]
    citations: list[SourceCited]
    other_forms: NotRequired[list[str]]


@closed
class PhPart(TypedDict):
    """How the pH is reached, and how it moves: ``ph_before`` is that before any acid or alkali is added."""

    ph: float
    temperature: Amount
    pka: float
    working_pka: float
    ionic_strength: Amount
    ph_before: float
    ph_diluted_tenfold: float
    ph_per_degC: float
    citations: list[SourceCited]
    titrant: NotRequired[str]
    titrant_per_litre: NotRequired[Amount]
    other_way: NotRequired[str]


@closed
class SeriesLevel(TypedDict):
    """One solution of a series: take this much, make up in this flask."""

    level: str
    strength: str
    take: Amount
    using: str
    taken_from: str
    flask: str


@closed
class SeriesPart(TypedDict):
    """The solutions of a series and what each takes of which liquid."""

    stock: str
    stock_needed: Amount
    blank: bool
    levels: list[SeriesLevel]
