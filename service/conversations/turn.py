"""One message taken: the state before and the text in, the state after and the reply out. Pure; no clock, no store.

A message is an answer to the open question, a change of the request, a question about the plan, a new request, or
small talk; the reply says in ``taken_for`` which. What fits none of these leaves the state as it was.
"""

import re
from dataclasses import replace

from grammar import read
from grammar.message import (
    About,
    Amend,
    Available,
    Claimed,
    Message,
    Rounded,
    SetSolute,
    StartAgain,
    Thanks,
    Weighed,
)
from grammar.message_reader import read_message
from grammar.message_words import GREETING
from grammar.request import Ask, Check, Misread, Named, Prepare, Reading, Request
from rules.forbidden import forbidden
from rules.plan import Option
from rules.tables.substances import by_formula, by_name
from service.bench import Bench
from service.conversations.amend_total import said as _amount
from service.conversations.changing import changed, which_request
from service.conversations.choice import beyond, chosen
from service.conversations.claims import checked, makeable, weighed
from service.conversations.explain import explain, rounded, why_not
from service.conversations.outcome import (
    LONGEST_UNREAD,
    TakenFor,
    Turn,
    after,
    ask_again,
    marked,
    plan_of,
    reminder,
    said,
    with_option,
)
from service.conversations.replies import ABOUT_SUBSTANCE, dried, told
from service.conversations.state import State, request_of
from service.conversations.told import Answer
from service.conversations.wholes import Whole, take_whole
from service.pipeline import Judged, Reply, answer, consider
from service.planner.matching import matches
from service.planner.questions import with_component
from service.reply import versions

#: Requests that can be gone back to.
MOST_KEPT = 8
_ANOTHER = re.compile(
    r"(?:(?:no|sorry|wait|actually|oops|but)[,.]? )+(?:i meant? |use |make it |it's |it is )?"
    r"(?:(?P<other>the other(?: one)?)|(?P<which>(?:the )?(?:first|second|third|fourth|last)(?: one)?|option \w))(?: please)?[.!]*",
    re.IGNORECASE,
)
_NO_SUBSTANCE = frozenset(("no-substance", "substance-missing"))
def turn(state: State | None, text: str, bench: Bench) -> Turn:
    """Take one typed message. Deterministic; never raises for any text."""
    taken = _remembering(state or State(), _turn(state or State(), text, bench))
    taken.reply.document["versions"] = versions(bench.policy)
    return taken


def _remembering(before: State, taken: Turn) -> Turn:
    """The turn with the request it replaced kept, so that it can be gone back to."""
    now = taken.state
    if taken.goes_back:
        return taken
    replaced = before.request is not None and now.request != before.request
    kept = (*before.earlier, before.request)[-MOST_KEPT:] if replaced and before.request is not None else before.earlier
    return taken if kept == now.earlier else replace(taken, state=replace(now, earlier=kept))


def _turn(state: State, text: str, bench: Bench) -> Turn:
    option = chosen(state.question, text) if state.question else None
    if option is not None:
        return plan_of(state, request_of(option["request"]), "answer", bench)
    answered = _in_other_words(state, text, bench) if state.question else None
    if answered is not None:
        return answered
    past = beyond(state.question, text) if state.question else None
    if state.question and past:
        plain = state.question["text"].split(" There is no option ")[0]
        many = len(state.question["options"])
        text = f"{plain} There is no option {past}: say 1 to {many}."
        return ask_again(state, {**state.question, "text": text}, "answer")
    other = _other_option(state, text, bench)
    if other is not None:
        return other
    message = read_message(text, _known)
    if isinstance(message, Thanks):
        return _small_talk(state, text)
    if isinstance(message, StartAgain):
        return said(State(), Answer("Started again: the request before is dropped."), "new_request", None)
    if isinstance(message, Whole):
        whole = take_whole(state, message, text, bench)
        if whole is not None:
            return whole
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
    return _remembering(state, plan_of(state, request, "answer" if offered else "new_request", bench))


def _in_other_words(state: State, text: str, bench: Bench) -> Turn | None:
    """The text as an answer in the words of the bottle; what leaves several options is asked again with those."""
    question = state.question
    assert question is not None
    options = told(question, text, state.prepare)
    if options and len(options) == 1:
        return plan_of(state, request_of(options[0]["request"]), "answer", bench)
    if options and len(options) < len(question["options"]):
        return ask_again(state, {**question, "options": options}, "answer")
    without_water = dried(question, text)
    if without_water:
        return ask_again(
            state, {**question, "text": "Dried to the form without water?", "options": without_water}, "answer"
        )
    return None


def _other_option(state: State, text: str, bench: Bench) -> Turn | None:
    """ "No, the first one": another option of the question that was answered last."""
    found = _ANOTHER.fullmatch(text.strip()) if state.question is None and state.earlier else None
    if found is None:
        return None
    question = answer(state.earlier[-1], bench).document.get("question")
    if not question:
        return None
    if not found["other"]:
        option = chosen(question, found["which"])
    else:
        others = [o for o in question["options"] if "request" in o and request_of(o["request"]) != state.request]
        option = others[0] if len(others) == 1 and len(question["options"]) == 2 else None
    return plan_of(state, request_of(option["request"]), "answer", bench) if option else None


def _acidity(state: State, held: Prepare, bench: Bench) -> Turn:
    reply = answer(Ask("ph", replace(held, total=None, portions=None, container=None, bottle=None)), bench)
    return Turn(state, marked(reply, "question"))


def _about_what_is_there(state: State, held: Prepare, message: Message, text: str, bench: Bench) -> Turn | None:
    if isinstance(message, Amend):
        if forbidden(text, bench.policy) is not None:
            return None  # the text names what is not made; that reply is given, and the state stays
        old = next((c.instead_of for c in message.changes if isinstance(c, SetSolute)), None)
        if old is not None and not any(_same_substance(c.solute, old) for c in held.components):
            return None
        if state.lacking is not None:
            return which_request(state, held, message, bench)
        return changed(state, held, message, text, bench)
    judged = consider(held, bench)
    if isinstance(message, About):
        if message.topic == "difference" and state.question and state.question["options"]:
            each = "; ".join(f"{o['label']}: {o['effect']}" for o in state.question["options"])
            return said(state, Answer(f"{each}. {reminder(state)}"), "question", held)
        if message.of and not _is_in(message.of, judged):
            return None
        if message.topic == "ph":
            return _acidity(state, held, bench)
        if message.vessel is not None:
            return said(state, why_not(message.vessel, judged, bench), "question", held)
        return said(state, explain(message.topic, judged, held), "question", held)
    if isinstance(message, Claimed):
        return checked(state, held, message, bench)
    if isinstance(message, Available):
        return makeable(state, held, message, bench)
    if isinstance(message, Weighed):
        return weighed(state, held, message, judged)
    if isinstance(message, Rounded):
        found = rounded(message, judged) or Answer(
            "There is no amount to round, or its strength does not follow in proportion."
        )
        return said(state, found, "question", held)
    return None


def _read(state: State, text: str, message: Message | None, bench: Bench) -> Turn:
    """The text as a request of its own, or as the name that the request before lacked."""
    reading = read(text, known=_known)
    if isinstance(reading, Prepare) and _only_names(reading):
        joined = f"{state.unread} {text}" if state.unread and state.request is None else ""
        if joined and isinstance(read(joined, known=_known), Prepare):
            return _new(state, joined, read(joined, known=_known), "answer", bench)
        held, named = state.prepare, reading.components[0].solute
        if state.lacking is not None and matches(named):
            component = replace(state.lacking.components[0], solute=named)
            return plan_of(state, with_component(state.lacking, 0, component), "answer", bench)
        if held is not None and len(held.components) == 1:
            about = state.question["about"] if state.question else ""
            if _same_substance(held.components[0].solute, named) or (about in ABOUT_SUBSTANCE and matches(named)):
                component = held.components[0]
                source = component.source and replace(component.source, named=None)
                other = with_component(held, 0, replace(component, solute=named, source=source))
                return plan_of(state, other, "answer" if about in ABOUT_SUBSTANCE else "amendment", bench)
            if matches(named) and forbidden(text, bench.policy) is None and state.question is None:
                return changed(state, held, Amend((SetSolute(named),)), text, bench)
    taken = _new(state, text, reading, "new_request", bench, message)
    before, question = state.prepare, taken.reply.document.get("question")
    lacks_total = question is not None and question["about"] == "total" and not question["options"]
    if lacks_total and isinstance(reading, Prepare) and before is not None and before.total is not None:
        same = Option("as-before", f"{_amount(before.total)}, as before", replace(reading, total=before.total))
        return with_option(taken, same, bench)
    return taken


def _new(
    state: State, text: str, reading: Reading, taken: TakenFor, bench: Bench, message: Message | None = None
) -> Turn:
    reply = answer(text, bench)
    if reply.outcome != "not_understood" and not isinstance(reading, Misread):
        if isinstance(reading, Ask | Check):  # a question beside the plan leaves the plan where it is
            now = state if state.prepare is not None else after(reading, reply)
            return Turn(now, marked(reply, "question"))
        return Turn(after(reading, reply), marked(reply, taken))
    if reply.outcome != "not_understood":
        return Turn(state, marked(reply, taken))
    problem = reply.document["problem"]
    if state.request is None and problem["code"] in _NO_SUBSTANCE:
        kept = f"{state.unread} {text}".strip()[:LONGEST_UNREAD]
        return Turn(State(unread=kept), marked(reply, taken))
    if isinstance(reading, Prepare) and problem["code"] == "substance-unknown" and _only_lacks_a_name(reading):
        state = replace(state, lacking=reading)
    if message is not None and state.request is None and not isinstance(message, Amend):
        problem = {
            "code": "nothing-asked-yet",
            "message": "There is no request yet that this could be about.",
            "remedy": "Ask for a solution first, for example: 250 mL of 0.1 M sodium chloride.",
        }
    remedy = " ".join(filter(None, (problem["remedy"], reminder(state))))
    document = {**reply.document, "problem": {**problem, "remedy": remedy}}
    return Turn(state, marked(Reply(reply.outcome, document), "not_understood"))


def _small_talk(state: State, text: str) -> Turn:
    open_ = f" Still open: {state.question['text']}" if state.question else ""
    return said(
        state, Answer(f"{'Hello.' if GREETING.match(text) else 'You are welcome.'}{open_}"), "thanks", state.request
    )


def _only_lacks_a_name(request: Prepare) -> bool:
    component = request.components[0]
    return len(request.components) == 1 and component.strength is not None and bool(request.total or request.portions)


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
