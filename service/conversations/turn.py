"""One message taken: the state before and the text in, the state after and the reply out. Pure; no clock, no store.

A message is an answer to the open question, a change of the request, a question about the plan, a new request, or
small talk; the reply says in ``taken_for`` which. What fits none of these leaves the state as it was.
"""

from dataclasses import dataclass, replace
from typing import Any, Literal, TypeAlias, cast

from grammar import canonical, read
from grammar.message import About, Amend, Change, Message, Rounded, SetQuantity, StartAgain, Thanks, Weighed
from grammar.message_reader import read_message
from grammar.request import Ask, Check, Misread, Named, Prepare, Reading, Request, to_document
from grammar.units import UNITS, dimension
from rules.forbidden import forbidden
from rules.plan import Open
from rules.tables.substances import by_formula, by_name
from service.bench import Bench
from service.conversations.amend import Context, amend
from service.conversations.choice import chosen
from service.conversations.explain import explain, measured, rounded, why_not
from service.conversations.state import State, request_of
from service.conversations.told import Answer
from service.pipeline import Judged, Reply, answer, consider
from service.planner.questions import with_component
from service.planner.resolve import matches
from service.reply import versions

TakenFor: TypeAlias = Literal["amendment", "answer", "question", "new_request", "thanks", "not_understood"]
Document = dict[str, Any]
_NO_SUBSTANCE = frozenset(("no-substance", "substance-missing"))
_ABOUT_SUBSTANCE = frozenset(("form", "which-substance", "oxidation-state", "element-source", "which-form"))
_LONGEST_UNREAD = 500
#: What a change has to be about to answer a question that is open.
_SETTLES = {
    "SetForm": _ABOUT_SUBSTANCE | {"variable-water"},
    "SetQuantity volume": {"total", "portions"},
    "SetNumber": {"total", "number"},
    "SetQuantity strength": {
        "strength",
        "reagent-strength",
        "density",
        "percent-basis",
        "unit-m",
        "percent",
        "equivalents",
    },
    "SetQuantity density": {"reagent-strength", "density"},
    "SetQuantity mass": {"total", "mass"},
    "SetSource": {"reagent-strength", "source"},
    "SetPeople": {"portions", "total"},
    "SetQuantity each": {"portions", "total"},
    "SetQuantity purity": {"variable-water", "purity"},
}


@dataclass(frozen=True, slots=True)
class Turn:
    """The state after the message, and the reply with its ``taken_for``."""

    state: State
    reply: Reply

    @property
    def taken_for(self) -> str:
        """What the message was taken for."""
        said: str = self.reply.document["taken_for"]
        return said


def turn(state: State | None, text: str, bench: Bench) -> Turn:
    """Take one typed message. Deterministic; never raises for any text."""
    state = state or State()
    option = chosen(state.question, text) if state.question else None
    if option is not None:
        return _ask(state, request_of(option["request"]), "answer", bench)
    message = read_message(text, _known)
    if isinstance(message, Thanks):
        return _small_talk(state)
    if isinstance(message, StartAgain):
        return _said(State(), Answer("Started again: the request before is dropped."), "new_request", None)
    held = state.prepare
    if message is not None and held is not None:
        taken = _about_what_is_there(state, held, message, text, bench)
        if taken is not None:
            return taken
    return _read(state, text, message, bench)


def take(state: State | None, request: Request, bench: Bench) -> Turn:
    """Take a typed request: an option of the open question, or a new request."""
    state = state or State()
    options = state.question.get("options", []) if state.question else []
    offered = any("request" in o and request_of(o["request"]) == request for o in options)
    return _ask(state, request, "answer" if offered else "new_request", bench)


def _about_what_is_there(state: State, held: Prepare, message: Message, text: str, bench: Bench) -> Turn | None:
    if isinstance(message, Amend):
        if forbidden(text, bench.policy) is not None:
            return None  # the text names what is not made; that reply is given, and the state stays
        return _amend(state, held, message, text, bench)
    judged = consider(held, bench)
    if isinstance(message, About):
        if message.of and not _is_in(message.of, judged):
            return None
        if message.vessel is not None:
            return _said(state, why_not(message.vessel, judged, bench), "question", held)
        return _said(state, explain(message.topic, judged, held), "question", held)
    if isinstance(message, Weighed):
        return _weighed(state, held, message, judged)
    if isinstance(message, Rounded):
        found = rounded(message.figures, judged) or Answer(
            "There is no amount to round, or its strength does not follow in proportion."
        )
        return _said(state, found, "question", held)
    return None


def _weighed(state: State, held: Prepare, message: Weighed, judged: Judged) -> Turn:
    unit = UNITS[message.quantity.unit]
    value = float(message.quantity.value * unit.factor)
    found = measured(value, unit.base, message.of, judged)
    if found is None:
        what = ", ".join(f"{m.amount.display} of {m.what}" for m in judged.plan.measures) or "nothing is settled yet"
        said = f"{message.quantity.value} {message.quantity.unit}"
        found = Answer(
            f"What {said} makes cannot be told here: the plan measures {what}. Say what it was, with its unit."
        )
    return _said(state, found, "question", held)


def _amend(state: State, held: Prepare, message: Amend, text: str, bench: Bench) -> Turn:
    about = state.question["about"] if state.question else ""
    if state.question and state.unread and not state.question["options"]:
        joined = read_message(f"{state.unread}, {text}", _known)  # "15 mL each" waited for "26 students"
        if isinstance(joined, Amend) and isinstance(amend(held, _in_order(joined), Context(about)), Prepare):
            message = joined
    changes = _in_order(message)
    made = amend(held, changes, Context(about))
    settles: set[str] = set()
    for change in changes:
        kind = type(change).__name__
        if isinstance(change, SetQuantity):
            known = dimension(change.quantity.unit)
            if change.role not in ("each", "purity"):
                kind += f" {known if known in ('volume', 'mass', 'density') else 'strength'}"
            else:
                kind += f" {change.role}"
        settles |= set(_SETTLES.get(kind, ()))
    taken: TakenFor = "answer" if about and about in settles else "amendment"
    if isinstance(made, Open):
        return _question(state, held, made, taken, text, bench)
    return _ask(state, made, taken, bench)


def _in_order(message: Amend) -> tuple[Change, ...]:
    """Which substance and for how many first: the other changes are of these."""
    order = {"SetSolute": 0, "SetPeople": 1}
    return tuple(sorted(message.changes, key=lambda change: order.get(type(change).__name__, 2)))


def _read(state: State, text: str, message: Message | None, bench: Bench) -> Turn:
    """The text as a request of its own, or as the name that the request before lacked."""
    reading = read(text, known=_known)
    if isinstance(reading, Prepare) and _only_names(reading):
        joined = f"{state.unread} {text}" if state.unread and state.request is None else ""
        if joined and isinstance(read(joined, known=_known), Prepare):
            return _new(state, joined, read(joined, known=_known), "answer", bench)
        held = state.prepare
        if held is not None and len(held.components) == 1:
            named = reading.components[0].solute
            about = state.question["about"] if state.question else ""
            if _same_substance(held.components[0].solute, named) or (about in _ABOUT_SUBSTANCE and matches(named)):
                component = held.components[0]
                source = component.source and replace(component.source, named=None)
                changed = with_component(held, 0, replace(component, solute=named, source=source))
                return _ask(state, changed, "answer" if about in _ABOUT_SUBSTANCE else "amendment", bench)
    return _new(state, text, reading, "new_request", bench, message)


def _new(
    state: State, text: str, reading: Reading, taken: TakenFor, bench: Bench, message: Message | None = None
) -> Turn:
    reply = answer(text, bench)
    if reply.outcome != "not_understood" and not isinstance(reading, Misread):
        if isinstance(reading, Ask | Check):  # a question beside the plan leaves the plan where it is
            after = state if state.prepare is not None else _after(reading, reply)
            return Turn(after, _marked(reply, "question"))
        return Turn(_after(reading, reply), _marked(reply, taken))
    if reply.outcome != "not_understood":
        return Turn(state, _marked(reply, taken))
    problem = reply.document["problem"]
    if state.request is None and problem["code"] in _NO_SUBSTANCE:
        kept = f"{state.unread} {text}".strip()[:_LONGEST_UNREAD]
        return Turn(State(unread=kept), _marked(reply, taken))
    if message is not None and state.request is None and not isinstance(message, Amend):
        problem = {
            "code": "nothing-asked-yet",
            "message": "There is no request yet that this could be about.",
            "remedy": "Ask for a solution first, for example: 250 mL of 0.1 M sodium chloride.",
        }
    remedy = " ".join(filter(None, (problem["remedy"], _reminder(state))))
    document = {**reply.document, "problem": {**problem, "remedy": remedy}}
    return Turn(state, _marked(Reply(reply.outcome, document), "not_understood"))


def _reminder(state: State) -> str:
    if state.question is not None:
        return f"Still open: {state.question['text']}"
    return f"What was asked before is kept: {canonical(state.request)}." if state.request is not None else ""


def _ask(state: State, request: Request, taken: TakenFor, bench: Bench) -> Turn:
    """The plan of a request that was changed or chosen; one that has no reading leaves the state as it was."""
    reply = answer(cast(Prepare, request), bench)  # every kind that is let in is answered; a set comes as text only
    after = state if reply.outcome == "not_understood" else _after(request, reply)
    return Turn(after, _marked(reply, taken))


def _after(request: Request, reply: Reply) -> State:
    return State(request, reply.document.get("question"))


def _question(state: State, held: Prepare, asked: Open, taken: TakenFor, text: str, bench: Bench) -> Turn:
    """A question about the change itself. The request stays as it was until it is answered."""
    options = []
    for option in asked.options:
        then = answer(option.request, bench)
        plan = then.document.get("plan")
        effect = (
            plan["measure"][0]["amount"]["display"]
            if plan and plan["measure"]
            else f"outcome: {then.outcome}".replace("_", " ")
        )
        held_too = " (held)" if then.outcome == "held" else ""
        options.append(
            {
                "id": option.id,
                "label": option.label,
                "effect": effect + held_too,
                "request": to_document(option.request),
            }
        )
    question: Document = {"about": asked.about, "text": asked.text, "options": options}
    if asked.remedy:
        question["remedy"] = asked.remedy
    document = {**_head("question", held), "question": question, "versions": versions()}
    waiting = "" if options else text.rstrip(" .?!")[:_LONGEST_UNREAD]
    return Turn(State(state.request, question, waiting), _marked(Reply("question", document), taken))


def _small_talk(state: State) -> Turn:
    open_ = f" Still open: {state.question['text']}" if state.question else ""
    return _said(state, Answer(f"You are welcome.{open_}"), "thanks", state.request)


def _said(state: State, found: Answer, taken: TakenFor, request: Request | None) -> Turn:
    said: Document = {"text": found.text}
    if found.amount is not None:
        said["amount"] = {"value": found.amount.value, "unit": found.amount.unit, "display": found.amount.display}
    if found.working:
        said["working"] = [{"method": method, "lines": lines} for method, lines in found.working]
    if found.cites:
        said["citations"] = [{"source_id": c.source_id, "locator": c.locator} for c in found.cites]
    document = {**_head("answered", request), "answer": said, "versions": versions()}
    return Turn(state, _marked(Reply("answered", document), taken))


def _head(outcome: str, request: Request | None) -> Document:
    if request is None:
        return {"outcome": outcome}
    return {"outcome": outcome, "read_as": canonical(request), "request": to_document(request)}


def _marked(reply: Reply, taken: TakenFor) -> Reply:
    return Reply(reply.outcome, {**reply.document, "taken_for": taken})


def _known(words: str) -> bool:
    return bool(by_name(words))


def _only_names(request: Prepare) -> bool:
    if len(request.components) != 1 or request.total is not None or request.portions is not None:
        return False
    component = request.components[0]
    return component.strength is None and component.mass is None and component.source is None and request.ph is None


def _same_substance(one: Named, other: Named) -> bool:
    slugs = {m.substance.slug for m in matches(one)}
    return bool(slugs & {m.substance.slug for m in matches(other)})


def _is_in(words: str, judged: Judged) -> bool:
    """Whether the words name a substance of the plan."""
    named = {m.substance.slug for m in (*by_name(words.lower()), *by_formula(words))}
    return any(i.substance.slug in named for i in judged.plan.ingredients)
