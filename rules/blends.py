"""What a plan carries beyond single solutes: a published recipe, a buffer set to a pH, the levels of a series.

Units as in ``rules.plan``: volume mL, concentration mol/L, temperature degC.
"""

from dataclasses import dataclass, field

from rules.tables.glassware import Glass
from rules.tables.load import Cite

#: Words a recipe's note may start with, and what they oblige to.
MARKS = ("REFUSE", "HOLD", "FRESH", "SEPARATE", "COMMERCIAL", "ASK")


@dataclass(frozen=True, slots=True)
class Recipe:
    """A published mixture taken as the request. ``scale`` multiplies its strength; ``marks`` holds what notes oblige to.

    ``without_amounts`` names the parts for which no amount is held; ``as_mixed``: given as parts, not per volume;
    ``parts``: the substances by slug.
    """

    key: str
    name: str
    per: str
    scale: float
    notes: tuple[str, ...]
    marks: tuple[tuple[str, str], ...]
    cites: tuple[Cite, ...]
    saturated: bool = False
    as_mixed: bool = False
    without_amounts: tuple[str, ...] = ()
    other_forms: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()

    def mark(self, word: str) -> str | None:
        """The text that stands after that mark, or None."""
        return next((text for marked, text in self.marks if marked == word), None)

    @property
    def from_memory(self) -> bool:
        """Whether any amount was only remembered."""
        return any(cite.source_id == "memory" for cite in self.cites)


@dataclass(frozen=True, slots=True)
class PhSetting:
    """A pH asked for, worked out: what sets it, how much, and how far it can be trusted.

    ``titrant_mol_L`` counts moles of acid or alkali in one litre of the finished buffer; ``pka`` is thermodynamic at
    ``temperature_degC``, ``working_pka`` at the ionic strength made. ``unknown`` names parts left out of the sum,
    ``highest_charge`` is that of the ions of the buffers.
    """

    system: str
    ph: float
    ph_typed: str
    temperature_degC: float
    temperature_typed: bool
    pka: float
    working_pka: float
    ionic_strength: float
    total_mol_L: float
    titrant: str
    titrant_mol_L: float
    ph_before: float
    ph_diluted: float
    ph_per_K: float
    ph_cold: float
    cites: tuple[Cite, ...]
    highest_charge: int = 1
    unknown: tuple[str, ...] = ()
    other_way: str = ""


@dataclass(frozen=True, slots=True)
class Level:
    """One solution of a series: its strength in words, what is taken of which liquid, and the flask it is made up in."""

    label: str
    strength: str
    take_mL: float
    using: str
    taken_from: str
    flask: Glass
    exact: bool


@dataclass(slots=True)
class SeriesMade:
    """A calibration series: the shared stock, its levels, and whether a blank goes with it."""

    stock: str
    levels: list[Level] = field(default_factory=list)
    blank: bool = False
    stock_needed_mL: float = 0.0
