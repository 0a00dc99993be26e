"""What a rule is, and how rules are run over a draft plan.

A rule gathers the facts it needs, then checks them. ``gather`` may say the rule does not apply (``None``)
or that a fact is not held (``Unchecked``): no data is never a pass. A rule that crashes becomes a finding
of severity ``hold``, so that a fault in the program is never read as safety.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal, NamedTuple, TypeAlias

from rules.plan import DraftPlan, Open
from rules.signs import signs_of
from rules.tables.load import Cite

Severity: TypeAlias = Literal["note", "caution", "ask", "hold", "stop"]
Result: TypeAlias = Literal["fired", "passed", "not_applicable", "unchecked"]

SEVERITIES: tuple[Severity, ...] = ("note", "caution", "ask", "hold", "stop")


@dataclass(frozen=True, slots=True)
class Unchecked:
    """The rule applies, but a fact it needs is not held; ``reason`` says which."""

    reason: str


class Hit(NamedTuple):
    """One thing a rule found. Empty fields take the rule's own severity, remedy and citation."""

    message: str
    remedy: str = ""
    severity: Severity | None = None
    question: Open | None = None
    approvable: bool = True
    cites: tuple[Cite, ...] = ()


@dataclass(frozen=True, slots=True)
class Example:
    """A request that shows the rule at work; run through the whole pipeline by the tests.

    ``message`` is the exact message for ``fired`` and ``unchecked``.
    """

    text: str
    result: Result
    message: str = ""


@dataclass(frozen=True, slots=True)
class Rule:
    """A check a careful senior technician makes. ``id`` is permanent."""

    id: str
    group: str
    title: str
    severity: Severity
    applies_to: str
    citation: tuple[Cite, ...]
    rationale: str
    remedy: str
    gather: Callable[[DraftPlan], Any]
    check: Callable[[DraftPlan, Any], Iterable[Hit]]
    examples: tuple[Example, ...] = ()
    skipped: "Finding" = field(init=False, repr=False, compare=False)
    passed: "Finding" = field(init=False, repr=False, compare=False)
    only_where: frozenset[str] | None = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Make what never differs from plan to plan once."""
        object.__setattr__(self, "skipped", Finding(self.id, self.group, self.severity, "not_applicable", ""))
        object.__setattr__(self, "passed", Finding(self.id, self.group, self.severity, "passed", self.title))
        object.__setattr__(self, "only_where", getattr(self.gather, "only_where", None))


class Finding(NamedTuple):
    """The result of one rule on one plan."""

    rule: str
    group: str
    severity: Severity
    result: Result
    message: str
    remedy: str = ""
    cites: tuple[Cite, ...] = ()
    question: Open | None = None
    approvable: bool = True


def judge(plan: DraftPlan, rules: Sequence[Rule]) -> list[Finding]:
    """Run every rule over the plan; one finding per hit, one for each pass, skip or hole."""
    found: list[Finding] = []
    add = found.append
    signs = _signs(plan)
    for rule in rules:
        if signs is not None and rule.only_where is not None and rule.only_where.isdisjoint(signs):
            add(rule.skipped)
            continue
        try:
            facts = rule.gather(plan)
            if facts is None:
                add(rule.skipped)
            elif isinstance(facts, Unchecked):
                add(_unchecked(rule, facts))
            else:
                hits = [_fired(rule, hit) for hit in rule.check(plan, facts)]
                found += hits or (rule.passed,)
        except Exception as fault:
            add(_crashed(rule, fault))
    return found


def _signs(plan: DraftPlan) -> set[str] | None:
    """The signs the draft shows; None where a fault keeps them from being told, and then every rule is asked."""
    try:
        return signs_of(plan)
    except Exception:
        return None


def _fired(rule: Rule, hit: Hit) -> Finding:
    message, remedy, severity, question, approvable, cites = hit
    return Finding(
        rule.id, rule.group, severity or rule.severity, "fired", message,
        remedy or rule.remedy, cites or rule.citation, question, approvable,
    )  # fmt: skip


def _unchecked(rule: Rule, hole: Unchecked) -> Finding:
    return Finding(rule.id, rule.group, rule.severity, "unchecked", hole.reason, rule.remedy, rule.citation)


def _crashed(rule: Rule, fault: Exception) -> Finding:
    """A fault in the program is never read as safety: it holds the plan."""
    message = f"The check '{rule.title}' failed to run ({type(fault).__name__}), so it counts as not made."
    remedy = "Have a second person look at the plan, and report the fault."
    return Finding(rule.id, rule.group, "hold", "fired", message, remedy, rule.citation)
