"""The typed request: what a person asked for, in fields, before any chemistry is applied.

Every number keeps the digits that were typed (``Decimal``), because the count of significant figures
decides how closely the answer must hold. A request says nothing about what can be done: names are words
not yet looked up, an ambiguous unit stays ambiguous (``m``, ``N``, ``%``, ``ppm``).
"""

from dataclasses import dataclass, field, fields, is_dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Any, Literal, TypeAlias

Purpose: TypeAlias = Literal["accurate", "approximate", "standard"]
SourceKind: TypeAlias = Literal["solid", "stock", "concentrated"]


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with a unit from the closed list in ``grammar.units``.

    ``value`` keeps the typed digits: ``Decimal("0.0500")`` has three significant figures.
    ``unit`` is a canonical key such as ``mL`` or ``mol/L``, never the spelling that was typed.
    ``of`` is the basis of a strength when one was stated: "Cu" in "100 mg/L as Cu".
    """

    value: Decimal
    unit: str
    of: str | None = None

    @property
    def figures(self) -> int:
        """Significant figures as typed; trailing zeros count ("100" has three)."""
        digits = self.value.as_tuple().digits
        return max(1, len(digits))


@dataclass(frozen=True, slots=True)
class Named:
    """A substance as it was named: words, formula or CAS number, not yet looked up.

    ``water`` is the stated water of crystallisation per formula unit: "5", "0" (anhydrous), "0.5",
    "x" (variable), or None when nothing was said. ``name`` has the hydrate words already removed.
    ``molar_mass`` is what was typed beside the name ("MW 58.44"), in g/mol; it is compared, never calculated with.
    """

    name: str = ""
    formula: str | None = None
    water: str | None = None
    cas: str | None = None
    as_typed: str = field(default="", compare=False)
    molar_mass: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Source:
    """Where the solute comes from: a solid, a stock solution or a concentrated reagent."""

    kind: SourceKind | None = None
    named: Named | None = None
    strength: Quantity | None = None
    density: Quantity | None = None
    purity: Quantity | None = None
    volume: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Component:
    """One solute of the solution: what, how strong (or how much), and from what.

    ``also`` is the same strength said another way ("N/2 (M/4)"); it is compared, never calculated with.
    """

    solute: Named
    strength: Quantity | None = None
    mass: Quantity | None = None
    source: Source | None = None
    reaction: str | None = None
    also: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Portions:
    """A class set: ``count`` people or groups, each needing ``each``, ``sets`` times, plus spare."""

    count: int
    each: Quantity
    sets: int = 1
    spare_percent: Decimal = Decimal(0)
    who: str = "students"


@dataclass(frozen=True, slots=True)
class Container:
    """A vessel somebody named: ``kind`` from ``grammar.words``, ``nominal`` when its size was said."""

    kind: str
    nominal: Quantity | None = None
    material: str | None = None


@dataclass(frozen=True, slots=True)
class Prepare:
    """Make up a solution. ``total`` is the final volume or mass; ``portions`` may replace it."""

    components: tuple[Component, ...]
    total: Quantity | None = None
    portions: Portions | None = None
    container: Container | None = None
    bottle: Container | None = None
    solvent: str | None = None
    solvent_volume: bool = False
    purpose: Purpose | None = None
    temperature: Quantity | None = None
    ph: Decimal | None = None
    kept_at: Quantity | None = None
    set_aside: tuple[str, ...] = field(default=(), compare=False)
    read_as_notes: tuple[str, ...] = field(default=(), compare=False)
    confirmed: tuple[str, ...] = ()
    kind: Literal["prepare"] = "prepare"


@dataclass(frozen=True, slots=True)
class Combine:
    """Bring substances together with no strength asked ("mix bleach with acid"): a safety question."""

    solutes: tuple[Named, ...]
    purpose_text: str = ""
    kind: Literal["combine"] = "combine"


@dataclass(frozen=True, slots=True)
class Series:
    """A set of solutions of one solute at several strengths (a calibration series), each made up to ``each``."""

    component: Component
    strengths: tuple[Quantity, ...]
    each: Quantity | None = None
    blank: bool = False
    solvent: str | None = None
    set_aside: tuple[str, ...] = field(default=(), compare=False)
    kind: Literal["series"] = "series"


@dataclass(frozen=True, slots=True)
class Check:
    """An answer to be checked: ``claimed`` is what somebody got for ``request`` (a mass, a volume or a strength)."""

    request: Prepare
    claimed: Quantity
    kind: Literal["check"] = "check"


@dataclass(frozen=True, slots=True)
class Ask:
    """A question answered with a value: ``topic`` names it, ``request`` carries what was given, ``to`` the unit wanted.

    Topics: strength-made (a mass in a volume), strength-of-reagent (37 % HCl in mol/L), strength-diluted, volume-makeable
    (how much can be made from what is there), volume-containing, water-to-add, molar-mass, moles, mass-of (some moles),
    mass-held (in a volume), convert (the same strength in another unit), and those of ``grammar.asking_facts``, which are
    answered from the tables. ``of`` is the element or ion the value wanted is counted by ("as Ca").
    """

    topic: str
    request: Prepare
    available: Quantity | None = None
    to: str | None = None
    of: str | None = None
    kind: Literal["ask"] = "ask"


Request: TypeAlias = Prepare | Combine | Series | Check | Ask


@dataclass(frozen=True, slots=True)
class Misread:
    """A text that has no safe reading: a stable ``code``, where reading stopped, and what to do.

    ``span`` counts characters of the text as typed. ``understood`` lists the fields that were read.
    """

    code: str
    message: str
    remedy: str
    span: tuple[int, int] = (0, 0)
    suggestions: tuple[str, ...] = ()
    understood: dict[str, str] = field(default_factory=dict)


Reading: TypeAlias = Prepare | Combine | Series | Check | Ask | Misread


@lru_cache(maxsize=64)
def _field_names(kind: type) -> tuple[str, ...]:
    return tuple(f.name for f in fields(kind))


def to_document(value: Any) -> Any:
    """A request (or any part of one) as plain JSON values; empty fields are left out, numbers are strings as typed."""
    kind = type(value)
    if kind is str or kind is int or kind is bool:
        return value
    if kind is Decimal:
        return str(value)
    if kind is tuple or kind is list:
        return [to_document(v) for v in value]
    if is_dataclass(kind):
        found = {}
        for name in _field_names(kind):
            part = getattr(value, name)
            if part is not None and part is not False and part != () and part != "":
                found[name] = to_document(part)
        return found
    return value
