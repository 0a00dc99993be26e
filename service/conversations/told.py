"""What an answer about the plan is made of: sentences, with the amount, the working and the citations they rest on."""

from dataclasses import dataclass

from rules.plan import Amount, DraftPlan
from rules.rule import Finding
from rules.tables.load import Cite
from service.answers.terms import Considered


@dataclass(frozen=True, slots=True)
class Answer:
    """Sentences, with the amount, the working and the citations they rest on."""

    text: str
    cites: tuple[Cite, ...] = ()
    amount: Amount | None = None
    working: tuple[tuple[str, list[str]], ...] = ()


def fired(judged: Considered, *groups: str, severity: str = "") -> list[Finding]:
    """The findings that fired, of those groups or of that severity."""
    return [
        f
        for f in judged.findings
        if f.result == "fired" and (f.group in groups if groups else True) and (not severity or f.severity == severity)
    ]


def tell(findings: list[Finding], opening: str = "", cites: tuple[Cite, ...] = ()) -> Answer:
    """The findings as one answer, with their remedies and citations."""
    parts = [opening] if opening else []
    for found in findings:
        parts += [part for part in (found.message, found.remedy) if part]
    every = (*cites, *(c for f in findings for c in f.cites))
    return Answer(" ".join(dict.fromkeys(parts)), tuple(dict.fromkeys(every)))


def name_of(plan: DraftPlan) -> str:
    """The main substance of the plan."""
    item = plan.main
    return item.substance.name if item is not None else "this"
