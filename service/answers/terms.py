"""The parts of an answer, and how its document is made."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any, Protocol

from grammar import canonical
from grammar.request import Ask, Check, Misread, Prepare, Quantity, to_document
from grammar.units import UNITS
from rules.plan import Amount, DraftPlan, Open, Option
from rules.rule import Finding
from rules.tables.load import Cite
from service.bench import Bench
from service.planner.figures import LEAST_TEXTBOOK_FIGURES, round_figures

#: No balance or flask carries more.
MOST_FIGURES = 6

Document = dict[str, Any]
Asked = Ask | Check


class Considered(Protocol):
    """A request worked out and judged, as ``service.pipeline.consider`` gives it."""

    @property
    def plan(self) -> DraftPlan: ...
    @property
    def findings(self) -> list[Finding]: ...
    @property
    def outcome(self) -> str: ...


Consider = Callable[[Prepare, Bench], Considered]


@dataclass(slots=True)
class Answer:
    """A value with its unit, the sentence that says it, the sum and where its facts come from."""

    amount: Amount | None
    text: str
    working: list[str] = field(default_factory=list)
    assumptions: list[str] = field(default_factory=list)
    cites: list[Cite] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    more: Document = field(default_factory=dict)

    def document(self) -> Document:
        """The ``answer`` part of a reply."""
        found: Document = {}
        if self.amount is not None:
            found["amount"] = {"value": self.amount.value, "unit": self.amount.unit, "display": self.amount.display}
        found["text"] = self.text
        found.update(self.more)
        if self.working:
            found["working"] = [{"method": "formulas", "lines": self.working}]
        if self.cites:
            found["citations"] = [{"source_id": c.source_id, "locator": c.locator} for c in dict.fromkeys(self.cites)]
        return found


@dataclass(frozen=True, slots=True)
class Refused:
    """Why no value is given although the question was understood; ``findings`` when rules say so."""

    problem: Misread
    findings: tuple[Finding, ...] = ()


Result = Answer | Open | Misread | Refused


def figures(*typed: Quantity | None) -> int:
    """Figures of an answer: those of the least exact number typed, three to six."""
    least = min((q.figures for q in typed if q is not None), default=4)
    return min(max(LEAST_TEXTBOOK_FIGURES, least), MOST_FIGURES)


def in_unit(value: float, unit: str, count: int) -> str:
    """``value`` (in the base unit of ``unit``) as it reads in ``unit``: (0.005, "mmol/L", 3) gives "5.00 mmol/L"."""
    factor = scale(unit) if unit in UNITS else 1.0
    return f"{round_figures(value / factor, count)} {unit}"


def typed(quantity: Quantity) -> str:
    """A quantity with the digits as typed."""
    return f"{quantity.value:f} {quantity.unit}" + (f" as {quantity.of}" if quantity.of else "")


def base(quantity: Quantity) -> float:
    """The value in the fixed unit of its dimension; parts per million are grams in a million millilitres."""
    return float(quantity.value) * scale(quantity.unit)


def scale(unit: str) -> float:
    """What one ``unit`` is in ``fixed_unit(unit)``."""
    known = UNITS[unit]
    return float(known.factor) * (1e-3 if known.dimension == "parts" else 1.0)


def fixed_unit(unit: str) -> str:
    """The unit in which amounts of that dimension stand in a reply."""
    known = UNITS[unit]
    return "g/L" if known.dimension == "parts" else known.base


def with_request(asked: Asked, request: Prepare) -> Asked:
    """The same question or check about another request; a total that was only taken for the sum is left out again."""
    if asked.request.total is None:
        request = replace(request, total=None)
    return replace(asked, request=request)


def options(asked: Asked, open_: Open) -> list[tuple[Option, Asked]]:
    """Each option of a question with the whole question or check it leads to."""
    return [(o, with_request(asked, o.request)) for o in open_.options]


def header(outcome: str, asked: Asked) -> Document:
    """The first keys of every reply."""
    return {"outcome": outcome, "read_as": canonical(asked), "request": to_document(asked)}
