"""The turns that a message can end in: a plan, a question about a change, something said; each with the state after it."""

from dataclasses import dataclass, replace
from typing import Any, Literal, TypeAlias, cast

from grammar import canonical
from grammar.request import Prepare, Request, to_document
from rules.plan import Open, Option
from service.bench import Bench
from service.conversations.state import State
from service.conversations.told import Answer
from service.pipeline import Reply, answer
from service.reply import versions

TakenFor: TypeAlias = Literal["amendment", "answer", "question", "new_request", "thanks", "not_understood"]
Document = dict[str, Any]
LONGEST_UNREAD = 500


@dataclass(frozen=True, slots=True)
class Turn:
    """The state after the message, and the reply with its ``taken_for``; ``goes_back``: to a request of before."""

    state: State
    reply: Reply
    goes_back: bool = False

    @property
    def taken_for(self) -> str:
        """What the message was taken for."""
        said: str = self.reply.document["taken_for"]
        return said


def plan_of(state: State, request: Request, taken: TakenFor, bench: Bench) -> Turn:
    """The plan of a request that was changed or chosen; one that has no reading leaves the state as it was."""
    reply = answer(cast(Prepare, request), bench)  # every kind that is let in is answered; a set comes as text only
    now = state if reply.outcome == "not_understood" else after(request, reply)
    return Turn(now, marked(reply, taken))


def after(request: Request, reply: Reply) -> State:
    """The state once the request has been answered."""
    return State(request, reply.document.get("question"))


def ask_about(state: State, held: Prepare, asked: Open, taken: TakenFor, text: str, bench: Bench) -> Turn:
    """A question about the change itself. The request stays as it was until it is answered."""
    options = [_shown(option, bench) for option in asked.options]
    question: Document = {"about": asked.about, "text": asked.text, "options": options}
    if asked.remedy:
        question["remedy"] = asked.remedy
    document = {**_head("question", held), "question": question, "versions": versions()}
    waiting = "" if options else text.rstrip(" .?!")[:LONGEST_UNREAD]
    now = State(state.request, question, waiting, bool(options), state.lacking)
    return Turn(now, marked(Reply("question", document), taken))


def _shown(option: Option, bench: Bench) -> Document:
    """An option as the client gets it, with what it would give."""
    then = answer(option.request, bench)
    plan = then.document.get("plan")
    measured = plan["measure"][0]["amount"]["display"] if plan and plan["measure"] else ""
    effect = measured or f"outcome: {then.outcome}".replace("_", " ")
    held_too = " (held)" if then.outcome == "held" else ""
    return {
        "id": option.id,
        "label": option.label,
        "effect": effect + held_too,
        "request": to_document(option.request),
    }


def with_option(asked: Turn, option: Option, bench: Bench) -> Turn:
    """The question of that turn with one option more."""
    question = asked.reply.document["question"]
    more = {**question, "options": [*question["options"], _shown(option, bench)]}
    reply = Reply(asked.reply.outcome, {**asked.reply.document, "question": more})
    return Turn(replace(asked.state, question=more), reply)


def ask_again(state: State, question: Document, taken: TakenFor) -> Turn:
    """The open question with fewer options, or with changed ones; the request stays as it was."""
    document = {**_head("question", state.request), "question": question, "versions": versions()}
    return Turn(replace(state, question=question), marked(Reply("question", document), taken))


def said(state: State, found: Answer, taken: TakenFor, request: Request | None) -> Turn:
    told: Document = {"text": found.text}
    if found.amount is not None:
        told["amount"] = {"value": found.amount.value, "unit": found.amount.unit, "display": found.amount.display}
    if found.working:
        told["working"] = [{"method": method, "lines": lines} for method, lines in found.working]
    if found.cites:
        told["citations"] = [{"source_id": c.source_id, "locator": c.locator} for c in found.cites]
    document = {**_head("answered", request), "answer": told, "versions": versions()}
    return Turn(state, marked(Reply("answered", document), taken))


def _head(outcome: str, request: Request | None) -> Document:
    if request is None:
        return {"outcome": outcome}
    return {"outcome": outcome, "read_as": canonical(request), "request": to_document(request)}


def marked(reply: Reply, taken: TakenFor) -> Reply:
    """The reply with what the message was taken for."""
    return Reply(reply.outcome, {**reply.document, "taken_for": taken})


def reminder(state: State) -> str:
    """What is still open, or what is kept; empty where nothing is."""
    if state.question is not None:
        return f"Still open: {state.question['text']}"
    return f"What was asked before is kept: {canonical(state.request)}." if state.request is not None else ""
