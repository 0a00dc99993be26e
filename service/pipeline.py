"""The whole flow on one screen: read, draft, judge, decide, compose. Pure: no clock, no store, no network.

text -> Reading -> DraftPlan -> Findings -> outcome -> reply document
"""

import re
from dataclasses import dataclass, replace
from decimal import Decimal
from math import isclose
from typing import Any

from grammar import read
from grammar.request import Ask, Check, Combine, Misread, Prepare, Quantity, Series
from rules.forbidden import Forbidden, forbidden
from rules.plan import DraftPlan, Open, Option
from rules.rule import Finding, judge
from rules.tables.load import cite
from rules.tables.mixtures import mixtures
from rules.tables.substances import by_name
from service.answers.reply import reply as answer_question
from service.bench import Bench, default_bench
from service.impossible import CANNOT_BE_MADE
from service.meeting import meeting, without_purpose
from service.planner.draft import draft
from service.planner.figures import show
from service.planner.series import draft_series
from service.refusal import compose_refused
from service.reply import compose, compose_misread, compose_readings, versions
from service.suggesting import with_suggestions

#: Misreadings that have a few whole readings: asked about, with what each would give.
ASKED_INSTEAD = frozenset(
    {
        "ratio-two-meanings",
        "range",
        "unit-asked",
        "amount-without-unit",
        "comma-ambiguous",
        "lost-superscript",
        "lots-or-fold",
        "spaced-digits",
        "each-of-whom",
    }
)


#: Amounts that an option of a question says it would give.
MOST_SAID = 3


_SATURATED = re.compile(r"(?i)\b(?:a )?saturated (?:solution of |aqueous )?(?:solution of )?")


@dataclass(frozen=True, slots=True)
class Reply:
    """One answer: its outcome, and the document every client gets (without the id the store gives it)."""

    outcome: str
    document: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Judged:
    """A draft with its findings and the outcome they lead to."""

    plan: DraftPlan
    findings: list[Finding]
    outcome: str


Asked = str | Prepare | Combine | Series | Ask | Check


def answer(asked: Asked, bench: Bench | None = None) -> Reply:
    """Answer a typed sentence or a typed request. Deterministic; never raises for any text."""
    bench = bench or default_bench()
    reply = _answered(asked, bench)
    reply.document["versions"] = versions(bench.policy)
    return reply


def _answered(asked: Asked, bench: Bench) -> Reply:
    request = read(asked, known=known_names) if isinstance(asked, str) else asked
    ended = forbidden(asked, bench.policy) if isinstance(asked, str) else None
    if isinstance(request, Misread):
        text = asked if isinstance(asked, str) else ""
        if ended is not None:
            return Reply("refused", compose_refused(text, ended))
        clash = _clash(text, bench)
        if clash is not None:
            return Reply("refused", compose_refused(text, clash))
        asked_back = _two_readings(text, request, bench)
        return asked_back or Reply(
            "not_understood", compose_misread(text, _helped(text, _saturated(text, request, bench), (), bench))
        )
    if isinstance(request, Ask | Check):
        if ended is not None and not ended.approvable:
            return Reply("refused", compose_refused(str(asked), ended))
        return Reply(*answer_question(request, bench, consider))
    judged = consider(request, bench)
    if ended is not None and (judged.plan.problem is not None or not ended.approvable):
        judged = _ended(judged, ended)
    read_whole = isinstance(request, Combine) or not request.set_aside
    clash = _clash(without_purpose(asked), bench) if isinstance(asked, str) and not read_whole else None
    if clash is not None:
        judged = _ended(judged, clash)
    if judged.outcome == "question":
        judged = _with_effects(judged, bench)
    if judged.outcome == "not_understood" and isinstance(asked, str) and judged.plan.problem is not None:
        judged.plan.problem = _helped(asked, judged.plan.problem, _names_typed(request), bench)
    return Reply(judged.outcome, compose(judged.outcome, request, judged.plan, judged.findings))


def _helped(text: str, problem: Misread, typed: tuple[str, ...], bench: Bench) -> Misread:
    return with_suggestions(text, problem, typed, lambda words: _can_be_sent(words, bench))


def _names_typed(request: Prepare | Combine | Series) -> tuple[str, ...]:
    if isinstance(request, Combine):
        return tuple(n.as_typed for n in request.solutes)
    components = request.components if isinstance(request, Prepare) else (request.component,)
    sources = (c.source.named.as_typed for c in components if c.source is not None and c.source.named is not None)
    return (*(c.solute.as_typed for c in components), *sources)


def _can_be_sent(words: str, bench: Bench) -> bool:
    """Whether a text is read and leads on: to a plan, an answer or a question."""
    request = read(words, known=known_names)
    if isinstance(request, Misread):
        return _two_readings(words, request, bench) is not None
    if isinstance(request, Ask | Check):
        return True
    return consider(request, bench).outcome not in ("not_understood", "refused")


def _two_readings(text: str, misread: Misread, bench: Bench) -> Reply | None:
    """A text with two sane readings as a question with both, each with what it gives; None for any other misreading."""
    if misread.code not in ASKED_INSTEAD:
        return None
    readings = [(words, read(words, known=known_names)) for words in misread.suggestions]
    options = tuple(
        Option(f"reading-{n}", words, reading)
        for n, (words, reading) in enumerate(readings, 1)
        if isinstance(reading, Prepare)
    )
    if len(options) < (1 if misread.code == "amount-without-unit" else 2):
        return None
    thens = [consider(option.request, bench) for option in options]
    if any(then.outcome == "refused" for then in thens):
        return None
    shown = tuple(_effect(option, then) for option, then in zip(options, thens, strict=True))
    return Reply("question", compose_readings(text, Open("which-reading", misread.message, shown, misread.remedy)))


def _clash(text: str, bench: Bench) -> Forbidden | None:
    """What the substances a text names do together where nobody may allow it, whether or not the text was read."""
    together = meeting(text)
    if together is None:
        return None
    found = consider(together, bench).findings
    worst = next(
        (f for f in found if f.rule == "incompatible-pair" and f.severity == "stop" and not f.approvable), None
    )
    return None if worst is None else Forbidden(worst.rule, worst.message, worst.remedy, False)


def _saturated(text: str, misread: Misread, bench: Bench) -> Misread:
    """ "500 mL of saturated sodium chloride": the remedy says how much dissolves in that much water, where that is held and
    nobody has to allow it."""
    rest = read(_SATURATED.sub("", text), known=known_names) if misread.code == "saturated" else None
    if not isinstance(rest, Prepare) or len(rest.components) != 1 or rest.total is None or rest.set_aside:
        return misread
    component = rest.components[0]
    if component.strength is not None or component.mass is not None or component.source is not None:
        return misread
    weak = replace(rest, components=(replace(component, strength=Quantity(Decimal("0.001"), "mol/L")),))
    if any(f.severity in ("hold", "stop") for f in consider(weak, bench).findings if f.result == "fired"):
        return misread
    outcome, document = answer_question(Ask("solubility", replace(rest, total=None), rest.total), bench, consider)
    if outcome != "answered" or "amount" not in document["answer"]:
        return misread
    how = "Shake somewhat more than that with the water over a day, let it settle and use the clear part."
    return replace(misread, remedy=f"{document['answer']['text']} {how} Or give a strength.")


def consider(request: Prepare | Combine | Series, bench: Bench) -> Judged:
    """Draft the request and judge the draft."""
    plan = draft_series(request, bench) if isinstance(request, Series) else draft(request, bench)
    findings = judge(plan, bench.rules)
    return Judged(plan, findings, decide(plan, findings))


def decide(plan: DraftPlan, findings: list[Finding]) -> str:
    """The outcome: a danger or an impossibility first, then what must be asked, then what somebody must allow."""
    fired = {f.severity for f in findings if f.result == "fired"}
    if "stop" in fired:
        return "refused"
    if plan.problem is not None:
        if plan.combined and "hold" in fired:
            return "refused"
        return "refused" if plan.problem.code in CANNOT_BE_MADE else "not_understood"
    if plan.opens or "ask" in fired:
        return "question"
    if isinstance(plan.request, Combine):
        return "refused" if "hold" in fired else "answered"
    return "held" if "hold" in fired else "planned"


def _ended(judged: Judged, why: Forbidden) -> Judged:
    """What was read as harmless is refused all the same where the text names what is not made."""
    practice = (cite("practice", "list of what a teaching prep room does not make"),)
    stop = Finding(why.code, "hazard", "stop", "fired", why.message, why.remedy, practice, approvable=why.approvable)
    return replace(judged, findings=[*(f for f in judged.findings if f.rule != why.code), stop], outcome="refused")


def known_names(words: str) -> frozenset[str]:
    """What the words name: slugs of substances and of mixtures; empty where they name nothing held here."""
    return frozenset(m.substance.slug for m in by_name(words)) | frozenset(f"mixture {m.key}" for m in mixtures(words))


def _with_effects(judged: Judged, bench: Bench, further: int = 1) -> Judged:
    """Each option with what it would give. Where every answer would be refused, so is the question.

    ``further``: how many questions that follow are looked into, so that nothing is asked on the way to a refusal.
    """
    open_ = judged.plan.opens[0] if judged.plan.opens else None
    if open_ is None or not open_.options:
        return judged
    each = [(option, consider(option.request, bench)) for option in open_.options]
    if further:
        each = [
            (o, _with_effects(then, bench, further - 1) if then.outcome == "question" else then) for o, then in each
        ]
    if open_.about != "solvent" and all(then.outcome == "refused" for _, then in each):
        return replace(each[0][1], outcome="refused")
    thens = [then for _, then in each if then.outcome != "question"]
    if open_.about == "form" and len(thens) > 1 and _as_weighed(thens[0]) and _all_the_same(thens):
        settled = thens[0]
        settled.plan.assumptions.append(
            "No form was stated. The mass is the same for every form sold, and counts the solid as it is in the bottle, with its water."
        )
        return settled
    shown = replace(open_, options=tuple(_effect(option, then) for option, then in each))
    judged.plan.opens[0] = shown
    findings = [f._replace(question=shown) if f.question is not None else f for f in judged.findings]
    return Judged(judged.plan, findings, judged.outcome)


def _as_weighed(then: Judged) -> bool:
    """Whether a mass is by custom that of the solid as weighed; a strength of a salt may be meant without its water."""
    item = then.plan.main
    return item is not None and (item.substance.family != "salt" or item.component.strength is None)


def _all_the_same(thens: list[Judged]) -> bool:
    """Whether every answer leads to a plan with the same amount to measure, so that the question changes nothing."""
    if any(then.outcome not in ("planned", "held") or not then.plan.measures for then in thens):
        return False
    first = thens[0].plan.measures[0].amount
    return all(isclose(then.plan.measures[0].amount.value, first.value, rel_tol=1e-6) for then in thens)


def _effect(option: Option, then: Judged) -> Option:
    if then.outcome == "refused":
        return replace(option, effect="cannot be made at this strength")
    if then.plan.measures:
        held = " (held)" if then.outcome == "held" else ""
        route = then.plan.route
        if route is not None and route.dilutions and route.direct_mass_g is not None:
            return replace(option, effect=f"{show(route.direct_mass_g, 'g')}, by way of a stock{held}")
        measured = [m for m in then.plan.measures if m.role != "solvent"]
        if len(measured) > 1:
            said = ", ".join(f"{m.amount.display} of {m.what}" for m in measured[:MOST_SAID])
            return replace(option, effect=said + (", and more" if len(measured) > MOST_SAID else "") + held)
        return replace(option, effect=then.plan.measures[0].amount.display + held)
    item = then.plan.main
    if item is not None and item.mass_g is not None:
        return replace(option, effect=show(item.mass_g, "g"))
    return replace(option, effect=_further(then.plan.opens[0]) if then.plan.opens else "")


def _further(open_: Open) -> str:
    """What the answers to the next question would give, where they were looked into."""
    known = list(dict.fromkeys(option.effect for option in open_.options if option.effect))
    said = f": {'; or '.join(known)}" if known and all("question" not in effect for effect in known) else ""
    return f"a further question follows{said}"
